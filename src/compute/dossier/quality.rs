//! Is the pack well reported and well made? Two published lists by item number, with what the pack shows.
//!
//! The numbers are those of RIGHT (Chen Y et al, Ann Intern Med 2017;166:128-132, doi:10.7326/M16-1565) and of
//! AGREE II (Brouwers MC et al, CMAJ 2010;182:E839-E842, doi:10.1503/cmaj.090449). The words are ours and stand
//! for neither text; what the later items of RIGHT ask (10 to 22) is from memory. Nothing is scored by the tool:
//! the authors of RIGHT advise against a sum, and ratings by AGREE II are those that people enter.

use crate::model::docs::Audit;
use crate::model::{Catalog, Kind};
use std::collections::BTreeSet;

/// Where the pack answers.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Where {
    /// On the start page, where packs are described.
    Pack,
    /// In the documents of a kind.
    Kind(Kind),
    /// In a part of the dossier.
    Part(&'static str),
}

/// An item and what the pack shows.
#[derive(Clone, Debug)]
pub struct Item {
    /// Number, with its letter.
    pub number: &'static str,
    /// Our short words.
    pub words: &'static str,
    /// What the pack has, and where; `None` if it is not in the pack.
    pub shown: Option<(&'static str, Where)>,
}

/// A domain of items that are rated together.
#[derive(Clone, Debug)]
pub struct Domain {
    /// Our name.
    pub name: &'static str,
    /// Items.
    pub items: Vec<Item>,
    /// Raters who rated each of its items.
    pub raters: usize,
    /// Scaled score in percent, from the ratings of at least two raters.
    pub score: Option<f64>,
}

/// Least number of raters whose ratings are put together.
pub const RATERS_LEAST: usize = 2;

/// What a pack has, if it has it.
fn when(yes: bool, what: &'static str, at: Where) -> Option<(&'static str, Where)> {
    yes.then_some((what, at))
}

struct Has<'a> {
    catalog: &'a Catalog,
}

impl Has<'_> {
    fn any(&self, kind: Kind) -> bool {
        self.catalog.docs(kind).next().is_some()
    }

    fn kind(&self, kind: Kind, what: &'static str) -> Option<(&'static str, Where)> {
        when(self.any(kind), what, Where::Kind(kind))
    }

    fn pack(&self, of: impl Fn(&crate::model::docs::Pack) -> bool, what: &'static str) -> Option<(&'static str, Where)> {
        when(self.catalog.packs.rows().iter().any(of), what, Where::Pack)
    }

    fn protocols(&self, of: impl Fn(&crate::model::docs::Protocol) -> bool, what: &'static str) -> Option<(&'static str, Where)> {
        when(self.catalog.protocols.rows().iter().any(of), what, Where::Kind(Kind::Protocol))
    }

    fn searched(&self) -> Option<(&'static str, Where)> {
        when(
            self.catalog.questions.rows().iter().any(|q| q.search.date.is_some()),
            "search with day and places",
            Where::Kind(Kind::Question),
        )
    }

    fn rated(&self) -> Option<(&'static str, Where)> {
        let rated = self.catalog.questions.rows().iter().flat_map(|q| &q.outcomes).any(|o| o.certainty.result.is_some());
        when(rated, "certainty for each outcome, with reasons", Where::Kind(Kind::Question))
    }

    fn claims(&self) -> Option<(&'static str, Where)> {
        self.protocols(|p| !p.evidence.is_empty(), "each claim with its source").map(|(what, _)| (what, Where::Part("claims")))
    }
}

fn item(number: &'static str, words: &'static str, shown: Option<(&'static str, Where)>) -> Item {
    Item { number, words, shown }
}

/// The 35 sub-items of RIGHT.
pub fn right(catalog: &Catalog) -> Vec<Item> {
    let has = Has { catalog };
    let mut out = basics(&has);
    out.extend(body(&has));
    out
}

fn basics(has: &Has<'_>) -> Vec<Item> {
    vec![
        item("1a", "Title says what it is", has.pack(|p| !p.title.value.is_empty(), "title")),
        item("1b", "Year or edition", has.pack(|p| !p.edition.value.is_empty(), "edition and review day")),
        item("1c", "Its focus", has.pack(|p| p.practice.is_some(), "scope of practice")),
        item("2", "Summary of what is recommended", has.kind(Kind::Protocol, "cards, one for each protocol")),
        item("3", "Terms and short forms", None),
        item("4", "Whom to write to", None),
        item("5", "The health problem, how common", None),
        item("6", "Aims", has.protocols(|p| !p.aim.value.is_empty(), "aim of each protocol")),
        item("7a", "People meant", has.protocols(|p| !p.population.words.is_empty(), "for whom, in each protocol")),
        item("7b", "Groups to look at apart", has.kind(Kind::Condition, "conditions and what they bar or limit")),
        item("8a", "Users meant", has.pack(|p| !p.training.is_empty(), "training in scope")),
        item("8b", "Setting meant", has.protocols(|p| p.setting.is_some(), "setting of each protocol")),
        item("9a", "Who took part, with roles", has.pack(|p| !p.roles.is_empty(), "roles that may approve")),
        item("9b", "Names and house of each", None),
        item("10a", "Questions asked", has.kind(Kind::Question, "questions")),
        item(
            "10b",
            "How outcomes were chosen",
            when(
                has.catalog.questions.rows().iter().flat_map(|q| &q.outcomes).any(|o| o.importance.is_some()),
                "importance of each outcome",
                Where::Kind(Kind::Question),
            ),
        ),
        item(
            "11a",
            "Own or existing reviews",
            has.kind(Kind::Source, "sources with their design").map(|(w, _)| (w, Where::Part("sources"))),
        ),
        item("11b", "How found and appraised", has.searched()),
        item("12", "How certainty was judged", has.rated()),
    ]
}

fn body(has: &Has<'_>) -> Vec<Item> {
    vec![
        item("13a", "Clear, usable recommendations", has.kind(Kind::Protocol, "protocols in steps with doses")),
        item(
            "13b",
            "For groups apart",
            has.kind(Kind::Condition, "cautions for each condition").map(|(w, _)| (w, Where::Part("cautions"))),
        ),
        item(
            "13c",
            "Strength, and certainty behind it",
            has.protocols(|p| p.evidence.iter().any(|c| c.certainty.is_some()), "certainty of each claim; no strength is given"),
        ),
        item("14a", "Values and wishes of those treated", None),
        item("14b", "Cost and resources", None),
        item("14c", "Fairness, feasibility, acceptance", None),
        item("15", "How it was decided", None),
        item("16", "Review by outsiders", when(has.any(Kind::Audit), "records of readers", Where::Part("sample"))),
        item(
            "17",
            "Quality assurance",
            has.kind(Kind::Protocol, "checks before every build; this dossier").map(|(w, _)| (w, Where::Part("index"))),
        ),
        item("18a", "Money", None),
        item("18b", "What the funder did", None),
        item(
            "19a",
            "Interests declared",
            when(has.any(Kind::Audit), "interests of readers; of authors not in the pack", Where::Part("sample")),
        ),
        item("19b", "How interests were handled", None),
        item("20", "Where it can be had", has.pack(|p| !p.licence.value.is_empty(), "licence; the whole as pages and data")),
        item("21", "What research is missing", has.pack(|p| !p.open_questions.is_empty(), "open questions")),
        item("22", "Limits of how it was made", has.pack(|p| !p.notice.value.is_empty(), "notice on every page")),
    ]
}

/// The 23 items of AGREE II in their six domains, with scores from the ratings that people entered.
pub fn agree(catalog: &Catalog) -> Vec<Domain> {
    let has = Has { catalog };
    let mut out = vec![scope(&has), people(&has), rigour(&has), clarity(&has), use_of(&has), independence()];
    let audits = catalog.audits.rows();
    for domain in &mut out {
        let numbers: Vec<i64> = domain.items.iter().filter_map(|i| i.number.parse().ok()).collect();
        (domain.raters, domain.score) = scaled(audits, &numbers);
    }
    out
}

fn domain(name: &'static str, items: Vec<Item>) -> Domain {
    Domain { name, items, raters: 0, score: None }
}

fn scope(has: &Has<'_>) -> Domain {
    domain(
        "Scope and purpose",
        vec![
            item("1", "Aims", has.protocols(|p| !p.aim.value.is_empty(), "aim of each protocol")),
            item("2", "Questions", has.kind(Kind::Question, "questions")),
            item("3", "People", has.protocols(|p| !p.population.words.is_empty(), "for whom, in each protocol")),
        ],
    )
}

fn people(has: &Has<'_>) -> Domain {
    domain(
        "People involved",
        vec![
            item("4", "Professions in the group", has.pack(|p| !p.roles.is_empty(), "roles that may approve")),
            item("5", "Views of those treated", None),
            item("6", "Users", has.pack(|p| !p.training.is_empty(), "training in scope")),
        ],
    )
}

fn rigour(has: &Has<'_>) -> Domain {
    let harms = has.catalog.techniques.rows().iter().any(|t| !t.harms.is_empty());
    domain(
        "Rigour",
        vec![
            item("7", "Search", has.searched()),
            item("8", "Selection", has.kind(Kind::Question, "rule for what is included")),
            item("9", "Strong and weak sides of the evidence", has.rated()),
            item("10", "From evidence to recommendation", None),
            item("11", "Benefit against harm", when(harms, "harms of each technique", Where::Kind(Kind::Technique))),
            item("12", "Link from recommendation to evidence", has.claims()),
            item("13", "Review by outsiders", when(has.any(Kind::Audit), "records of readers", Where::Part("sample"))),
            item("14", "Plan to renew", has.pack(|p| p.review_interval.is_some(), "review interval and day")),
        ],
    )
}

fn clarity(has: &Has<'_>) -> Domain {
    domain(
        "Clarity",
        vec![
            item("15", "Specific", has.kind(Kind::Protocol, "one action a step, with its dose")),
            item("16", "Choices shown", has.protocols(|p| p.tailoring.is_some(), "tailoring of each protocol")),
            item("17", "Key points easy to find", has.kind(Kind::Protocol, "stop-signs first; cards")),
        ],
    )
}

fn use_of(has: &Has<'_>) -> Domain {
    domain(
        "Use in practice",
        vec![
            item("18", "What helps and hinders", None),
            item("19", "Tools", has.kind(Kind::Protocol, "cards, leaflets, worksheets")),
            item("20", "Resources", has.protocols(|p| !p.equipment.is_empty(), "equipment and time; no cost")),
            item("21", "What to audit", has.protocols(|p| p.audit_planned.is_some(), "audit question of each protocol")),
        ],
    )
}

fn independence() -> Domain {
    domain("Independence", vec![item("22", "The funder's say", None), item("23", "Interests", None)])
}

/// Raters who rated each of these items, and their scaled score in percent: what was obtained above the least
/// possible, over the most possible above the least. `None` with fewer than two.
pub fn scaled(audits: &[Audit], items: &[i64]) -> (usize, Option<f64>) {
    let wanted: BTreeSet<i64> = items.iter().copied().collect();
    let of = |audit: &Audit| -> Option<i64> {
        let own: Vec<(i64, i64)> =
            audit.ratings.iter().map(|r| (r.item.value, r.score.value)).filter(|(i, _)| wanted.contains(i)).collect();
        let rated: BTreeSet<i64> = own.iter().map(|(i, _)| *i).collect();
        // A number that stands twice cannot be told; such a record counts for nothing.
        (own.len() == wanted.len() && rated == wanted).then(|| own.iter().map(|(_, s)| s).sum())
    };
    let sums: Vec<i64> = audits.iter().filter_map(of).collect();
    if sums.len() < RATERS_LEAST || wanted.is_empty() {
        return (sums.len(), None);
    }
    let count = i64::try_from(sums.len() * wanted.len()).unwrap_or(i64::MAX);
    let (least, most) = (count, count * 7);
    #[allow(clippy::cast_precision_loss, reason = "sums of ratings are small")]
    let score = 100.0 * (sums.iter().sum::<i64>() - least) as f64 / (most - least) as f64;
    (sums.len(), Some(score))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::load::decode::Document;

    fn audit(ratings: &str) -> Audit {
        let text = format!("id: x\nrole: reviewer\ndate: 2026-11-01\ninterests: none\nratings: [{ratings}]\n");
        match crate::compute::testing::document(Kind::Audit, &text) {
            Document::Audit(audit) => *audit,
            _ => unreachable!("a record was decoded"),
        }
    }

    #[test]
    fn the_lists_have_35_sub_items_of_22_and_23_items_in_six_domains() {
        let catalog = crate::compute::testing::base();
        let right = right(&catalog);
        let whole = |n: &str| n.trim_end_matches(char::is_alphabetic).to_string();
        assert_eq!(right.len(), 35);
        assert_eq!(right.iter().map(|i| whole(i.number)).collect::<BTreeSet<_>>().len(), 22);
        let agree = agree(&catalog);
        assert_eq!(agree.iter().map(|d| d.items.len()).collect::<Vec<_>>(), [3, 3, 8, 3, 4, 2]);
        let numbers: Vec<usize> = agree.iter().flat_map(|d| &d.items).filter_map(|i| i.number.parse().ok()).collect();
        assert_eq!(numbers, (1..=23).collect::<Vec<_>>());
    }

    /// By hand: two raters, two items: 5 + 3 and 7 + 1 give 16; least 4, most 28; 12 of 24.
    #[test]
    fn a_score_needs_two_raters_who_rated_every_item_once() {
        let one = audit("{item: 22, score: 5}, {item: 23, score: 3}");
        let two = audit("{item: 22, score: 7}, {item: 23, score: 1}, {item: 1, score: 7}");
        let half = audit("{item: 22, score: 7}");
        let twice = audit("{item: 22, score: 7}, {item: 22, score: 1}, {item: 23, score: 1}");
        assert_eq!(scaled(&[one.clone(), half.clone(), twice], &[22, 23]), (1, None));
        assert_eq!(scaled(&[one, two, half], &[22, 23]), (2, Some(50.0)));
    }
}
