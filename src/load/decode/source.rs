//! Sources: the record, what was studied at what dose, what was found, and how far it is to be trusted.

use super::Reader;
use super::bibliography::bibliography;
use crate::model::docs::{
    Arm, BiasDomain, Change, Conclusion, Data, EvidenceLevel, Finding, GroupCount, GroupMean, Head, PValue, Printed, RiskOfBias, Source,
    Spread, StudyResult, Told,
};
use crate::model::evidence::{Asks, Disclosure, HarmsStatus, RetractionStatus};
use crate::source::{Node, Spanned, Text};

pub(super) fn source(r: &mut Reader<'_>, n: &Node, head: Head) -> Source {
    let (retraction, seen) = (n.get("retraction"), n.get("seen"));
    let arms = arms(r, n);
    let results = results(r, n, &arms);
    Source {
        bibliography: bibliography(r, n),
        invented: r.flag(n, "invented").then(|| n.entry("invented").map(|(k, _)| k.span)).flatten(),
        design: r.word(n, "design", crate::model::evidence::Design::from_word),
        who: r.maybe_reference(n, "who"),
        n: r.count(n, "n"),
        facts: r.labelled(
            n,
            &[
                ("population", "Population"),
                ("setting", "Setting"),
                ("comparator", "Compared with"),
                ("follow-up", "Follow-up"),
                ("registration", "Registration"),
                ("note", "Note"),
            ],
        ),
        licence: r.maybe(n, "licence"),
        level: n.get("level").and_then(|x| level(r, x)),
        conclusions: conclusions(r, n, &arms),
        findings: r
            .items(n, "findings")
            .iter()
            .map(|x| Finding { name: r.text(x, "name"), result: r.text(x, "result"), at: r.maybe(x, "at") })
            .collect(),
        arms,
        harms: told(r, n, "harms", HarmsStatus::from_word),
        funding: told(r, n, "funding", Disclosure::from_word),
        interests: told(r, n, "interests", Disclosure::from_word),
        bias: bias(r, n, &results),
        results,
        includes: r.references(n, "includes"),
        part_of: r.maybe_reference(n, "part-of"),
        retraction: retraction.and_then(|x| r.word(x, "status", RetractionStatus::from_word)),
        retraction_checked: retraction.and_then(|x| r.date(x, "checked")),
        retraction_notice: retraction.and_then(|x| r.maybe(x, "notice")),
        seen: seen.and_then(|x| r.maybe(x, "status")),
        seen_what: seen.and_then(|x| r.maybe(x, "what")),
        head,
    }
}

fn told<T>(r: &Reader<'_>, n: &Node, key: &str, read: impl Fn(&str) -> Option<T>) -> Option<Told<T>> {
    let value = n.get(key)?;
    Some(Told { status: r.word(value, "status", read)?, what: r.maybe(value, "what") })
}

fn level(r: &Reader<'_>, n: &Node) -> Option<EvidenceLevel> {
    Some(EvidenceLevel { number: r.count(n, "number")?, asks: r.word(n, "for", Asks::from_word)?.value })
}

fn arms(r: &mut Reader<'_>, n: &Node) -> Vec<Arm> {
    let mut out = Vec::new();
    for x in r.items(n, "arms") {
        out.push(Arm {
            id: r.text(x, "id"),
            name: r.text(x, "name"),
            n: r.count(x, "n"),
            analysed: r.count(x, "analysed"),
            lost: r.count(x, "lost"),
            technique: r.maybe(x, "technique"),
            dose: r.dose(x, "dose"),
        });
    }
    unique(r, out.iter().map(|a: &Arm| &a.id), "arm");
    out
}

/// Reports short names that stand twice.
fn unique<'a>(r: &mut Reader<'_>, names: impl Iterator<Item = &'a Text>, what: &str) {
    let mut seen: Vec<&Text> = Vec::new();
    for name in names {
        if seen.iter().any(|s| s.value == name.value) {
            let message = format!("two of the list have the id `{}`", name.value);
            r.report("schema-shape", name.span, format!("a second {what} `{}`", name.value), message).help("give each its own short id");
        }
        seen.push(name);
    }
}

fn ids(arms: &[Arm]) -> Vec<Text> {
    arms.iter().map(|a| a.id.clone()).collect()
}

fn results(r: &mut Reader<'_>, n: &Node, arms: &[Arm]) -> Vec<StudyResult> {
    let mut out = Vec::new();
    for x in r.items(n, "results") {
        let named = r.texts(x, "arms");
        named.iter().for_each(|a| r.one_of(a, &ids(arms), "arm of this source"));
        out.push(StudyResult {
            id: r.text(x, "id"),
            outcome: r.reference(x, "outcome"),
            arms: named,
            comparator: r.word(x, "comparator", crate::model::evidence::Comparator::from_word),
            who: r.maybe_reference(x, "who"),
            time: r.maybe(x, "time"),
            unit: r.maybe(x, "unit"),
            at: r.maybe(x, "at"),
            words: r.maybe(x, "words"),
            found: r.word(x, "found", crate::model::evidence::Direction::from_word),
            data: data(r, x),
            printed: x.get("printed").and_then(|p| printed(r, p)),
            span: x.span,
        });
    }
    unique(r, out.iter().map(|x: &StudyResult| &x.id), "result");
    out
}

fn data(r: &mut Reader<'_>, n: &Node) -> Data {
    let forms = ["means", "counts", "change", "correlation", "share", "estimate"];
    let given: Vec<&str> = forms.into_iter().filter(|f| n.get(f).is_some()).collect();
    if let [_, second, ..] = given.as_slice()
        && let Some((key, _)) = n.entry(second)
    {
        let message = format!("a result has its numbers in one form, and here stand {}", given.join(" and "));
        r.report("schema-shape", key.span, "a second form", message).help("make two results of it");
    }
    let pair = |read: &dyn Fn(&Node) -> Option<Data>, key: &str| n.get(key).and_then(read);
    given
        .first()
        .and_then(|form| match *form {
            "means" => two(r.items(n, "means"), |x| mean(r, x)).map(Data::Means),
            "counts" => two(r.items(n, "counts"), |x| count(r, x)).map(Data::Counts),
            "change" => pair(&|x| change(r, x).map(Data::Change), "change"),
            "correlation" => pair(&|x| Some(Data::Correlation { n: r.number(x, "n")?, r: r.number(x, "r")? }), "correlation"),
            "share" => pair(&|x| count(r, x).map(Data::Share), "share"),
            _ => n.get("estimate").and_then(|x| printed(r, x)).map(Data::Estimate),
        })
        .unwrap_or(Data::Words)
}

fn two<T>(items: &[Node], read: impl Fn(&Node) -> Option<T>) -> Option<[T; 2]> {
    match items {
        [a, b] => Some([read(a)?, read(b)?]),
        _ => None,
    }
}

fn mean(r: &Reader<'_>, n: &Node) -> Option<GroupMean> {
    let spread = match (r.number(n, "sd"), r.number(n, "se")) {
        (Some(sd), _) => Spread::Sd(sd),
        (None, Some(se)) => Spread::Se(se),
        (None, None) => Spread::Missing,
    };
    Some(GroupMean { n: r.number(n, "n")?, mean: r.number(n, "mean")?, spread, span: n.span })
}

fn count(r: &Reader<'_>, n: &Node) -> Option<GroupCount> {
    Some(GroupCount { events: r.number(n, "events")?, n: r.number(n, "n")?, percent: r.number(n, "percent"), span: n.span })
}

fn change(r: &Reader<'_>, n: &Node) -> Option<Change> {
    Some(Change {
        n: r.number(n, "n")?,
        before: r.number(n, "before")?,
        after: r.number(n, "after")?,
        sd_change: r.number(n, "sd-change"),
        sd_before: r.number(n, "sd-before"),
        sd_after: r.number(n, "sd-after"),
        r: r.number(n, "r"),
    })
}

fn printed(r: &Reader<'_>, n: &Node) -> Option<Printed> {
    let end = |key: &str| Some((r.number(n, key)?, r.maybe(n, key)?));
    let ends = end("low").zip(end("high"));
    Some(Printed {
        measure: r.word(n, "measure", crate::model::evidence::EffectMeasure::from_word)?,
        value: r.number(n, "value")?,
        written: r.text(n, "value"),
        interval: ends.as_ref().map(|((low, _), (high, _))| [low.clone(), high.clone()]),
        ends: ends.map(|((_, low), (_, high))| [low, high]),
        level: r.number(n, "level"),
        p: r.maybe(n, "p").and_then(p_value),
        studies: r.count(n, "studies"),
        people: r.count(n, "people"),
        i2: r.number(n, "i2"),
        span: n.span,
    })
}

/// `0.16`, `< 0.001`, `<0.001`.
fn p_value(written: Text) -> Option<PValue> {
    let bare = written.value.trim_start_matches(['<', ' ', '=']);
    let value: f64 = bare.parse().ok().filter(|p: &f64| (0.0..=1.0).contains(p))?;
    let below = written.value.starts_with('<');
    Some(PValue { value, below, written })
}

fn conclusions(r: &mut Reader<'_>, n: &Node, arms: &[Arm]) -> Vec<Conclusion> {
    let mut out = Vec::new();
    for x in r.items(n, "conclusions") {
        let arm = r.maybe(x, "arm");
        arm.iter().for_each(|a| r.one_of(a, &ids(arms), "arm of this source"));
        out.push(Conclusion {
            words: r.text(x, "words"),
            at: r.maybe(x, "at"),
            outcome: r.maybe_reference(x, "outcome"),
            found: r.word(x, "found", crate::model::evidence::Direction::from_word),
            arm,
        });
    }
    out
}

fn bias(r: &mut Reader<'_>, n: &Node, results: &[StudyResult]) -> Vec<RiskOfBias> {
    let known: Vec<Text> = results.iter().map(|x| x.id.clone()).collect();
    let mut out = Vec::new();
    for x in r.items(n, "risk-of-bias") {
        let about = r.texts(x, "results");
        about.iter().for_each(|a| r.one_of(a, &known, "result of this source"));
        let Some(overall) = judgement(r, x, "overall") else { continue };
        let domains = r.items(x, "domains").iter();
        out.push(RiskOfBias {
            tool: r.text(x, "tool"),
            results: about,
            domains: domains
                .filter_map(|d| {
                    Some(BiasDomain { domain: r.text(d, "domain"), judgement: judgement(r, d, "judgement")?, why: r.text(d, "why") })
                })
                .collect(),
            overall,
            why: r.maybe(x, "why"),
            by: r.maybe(x, "by"),
        });
    }
    out
}

fn judgement(r: &Reader<'_>, n: &Node, key: &str) -> Option<Spanned<crate::model::evidence::Judgement>> {
    r.word(n, key, crate::model::evidence::Judgement::from_word)
}
