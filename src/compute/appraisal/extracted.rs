//! The numbers of a result as they were taken from its source, in one form for pages, data and the dossier.

use crate::model::docs::{Change, Data, GroupCount, GroupMean, Printed, Source, Spread, StudyResult};
use crate::model::evidence::EffectMeasure;
use crate::model::quantity::number;
use crate::model::unit::UNITS;

/// A number with up to three decimals and a true minus sign.
pub fn plain(value: f64) -> String {
    number(value).replace('-', "−")
}

/// The unit of a measure, where it has one; `own` is that of the results.
pub fn unit(measure: EffectMeasure, own: Option<&str>) -> String {
    match measure {
        EffectMeasure::MeanDifference | EffectMeasure::MeanChange => unit_words(own.unwrap_or_default()).to_string(),
        EffectMeasure::StandardisedMeanDifference => "standard deviations".into(),
        _ => String::new(),
    }
}

/// A unit as written in a pack, for people.
pub fn unit_words(unit: &str) -> &str {
    match unit {
        "deg" => "degrees",
        other => UNITS.iter().find(|u| u.symbol == other).map_or(other, |u| u.shown),
    }
}

/// A number with its unit in words; of points and degrees one is singular.
pub fn with_unit(number: &str, unit: &str) -> String {
    let unit = unit_words(unit);
    let one = matches!(number, "1" | "−1" | "-1");
    let rest = ["points", "degrees"].into_iter().filter(|_| one).find_map(|many| unit.strip_prefix(many).map(|rest| (many, rest)));
    match (unit, rest) {
        ("", _) => number.to_string(),
        (_, Some((many, rest))) => format!("{number} {}{rest}", many.trim_end_matches('s')),
        _ => format!("{number} {unit}"),
    }
}

/// A count with its word.
pub fn counted_words(number: &str, one: &str, many: &str) -> String {
    let word = if number == "1" { one } else { many };
    format!("{number} {word}")
}

fn people(n: f64) -> String {
    counted_words(&plain(n), "person", "people")
}

/// The numbers of a result as they were taken from the source.
pub fn extracted(source: &Source, result: &StudyResult) -> Vec<String> {
    let named = |i: usize| result.arms.get(i).and_then(|id| source.arm(&id.value)).map(|a| a.name.value.to_string());
    let arm = |i: usize, text: String| named(i).map_or(text.clone(), |name| format!("{name}: {text}"));
    let unit = result.unit.as_ref().map_or("", |u| &*u.value);
    match &result.data {
        Data::Means([a, b]) => vec![arm(0, mean(a, unit)), arm(1, mean(b, unit))],
        Data::Counts([a, b]) => vec![arm(0, counted(a)), arm(1, counted(b))],
        Data::Change(c) => vec![arm(0, changed(c, unit))],
        Data::Correlation { n, r } => vec![format!("{}, correlation {}", people(n.value), plain(r.value))],
        Data::Share(group) => vec![arm(0, counted(group))],
        Data::Estimate(p) => vec![printed(p, result)],
        Data::Words => Vec::new(),
    }
}

fn mean(g: &GroupMean, unit: &str) -> String {
    let spread = match &g.spread {
        Spread::Sd(sd) => format!("SD {}", plain(sd.value)),
        Spread::Se(se) => format!("SE {}", plain(se.value)),
        Spread::Missing => "spread not given".into(),
    };
    format!("{}, mean {}, {spread}", people(g.n.value), with_unit(&plain(g.mean.value), unit))
}

fn counted(g: &GroupCount) -> String {
    format!("{} of {}", plain(g.events.value), people(g.n.value))
}

fn changed(c: &Change, unit: &str) -> String {
    let spreads = [("SD of the change", &c.sd_change), ("SD before", &c.sd_before), ("SD after", &c.sd_after), ("correlation", &c.r)];
    let known: String = spreads.iter().filter_map(|(name, x)| x.as_ref().map(|x| format!(", {name} {}", plain(x.value)))).collect();
    {
        let [before, after] = [&c.before, &c.after].map(|x| with_unit(&plain(x.value), unit));
        format!("{}, {before} before, {after} after{known}", people(c.n.value))
    }
}

/// An effect of a result as the source prints it, with the unit of the result.
pub fn printed(p: &Printed, of: &StudyResult) -> String {
    let unit = unit(p.measure.value, of.unit.as_ref().map(|u| &*u.value));
    let mut out = format!("{} {}", p.measure.value.word(), with_unit(&p.written.value, &unit));
    if let Some([low, high]) = &p.ends {
        let level = p.level.as_ref().map_or(95.0, |l| l.value);
        out += &format!(" ({} % interval {} to {})", plain(level), low.value, high.value);
    }
    if let Some(p) = &p.p {
        out += &format!(", p {}", p.written.value);
    }
    let counts = [("study", "studies", &p.studies), ("person", "people", &p.people)];
    out.extend(
        counts.iter().filter_map(|(one, many, n)| n.as_ref().map(|n| format!(", {}", counted_words(&n.value.to_string(), one, many)))),
    );
    if let Some(i2) = &p.i2 {
        out += &format!(", I² {} %", plain(i2.value));
    }
    out.replace('-', "−")
}
