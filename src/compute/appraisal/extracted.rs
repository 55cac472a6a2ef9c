//! The numbers of a result as they were taken from its source, in one form for pages, data and the dossier.

use crate::model::docs::{Change, Data, GroupCount, GroupMean, Printed, Source, Spread, StudyResult};
use crate::model::quantity::number;

/// A number with up to three decimals and a true minus sign.
pub fn plain(value: f64) -> String {
    number(value).replace('-', "−")
}

/// The numbers of a result as they were taken from the source.
pub fn extracted(source: &Source, result: &StudyResult) -> Vec<String> {
    let named = |i: usize| result.arms.get(i).and_then(|id| source.arm(&id.value)).map(|a| a.name.value.to_string());
    let arm = |i: usize, text: String| named(i).map_or(text.clone(), |name| format!("{name}: {text}"));
    match &result.data {
        Data::Means([a, b]) => vec![arm(0, mean(a)), arm(1, mean(b))],
        Data::Counts([a, b]) => vec![arm(0, counted(a)), arm(1, counted(b))],
        Data::Change(c) => vec![arm(0, changed(c))],
        Data::Correlation { n, r } => vec![format!("{} people, correlation {}", plain(n.value), plain(r.value))],
        Data::Share(group) => vec![arm(0, counted(group))],
        Data::Estimate(p) => vec![printed(p)],
        Data::Words => result.words.iter().map(|w| w.value.to_string()).collect(),
    }
}

fn mean(g: &GroupMean) -> String {
    let spread = match &g.spread {
        Spread::Sd(sd) => format!("SD {}", plain(sd.value)),
        Spread::Se(se) => format!("SE {}", plain(se.value)),
        Spread::Missing => "spread not given".into(),
    };
    format!("{} people, mean {}, {spread}", plain(g.n.value), plain(g.mean.value))
}

fn counted(g: &GroupCount) -> String {
    format!("{} of {} people", plain(g.events.value), plain(g.n.value))
}

fn changed(c: &Change) -> String {
    let spreads = [("SD of the change", &c.sd_change), ("SD before", &c.sd_before), ("SD after", &c.sd_after), ("correlation", &c.r)];
    let known: String = spreads.iter().filter_map(|(name, x)| x.as_ref().map(|x| format!(", {name} {}", plain(x.value)))).collect();
    format!("{} people, {} before, {} after{known}", plain(c.n.value), plain(c.before.value), plain(c.after.value))
}

/// An effect as the source prints it.
pub fn printed(p: &Printed) -> String {
    let mut out = format!("{} {}", p.measure.value.word(), p.written.value);
    if let Some([low, high]) = &p.ends {
        let level = p.level.as_ref().map_or(95.0, |l| l.value);
        out += &format!(" ({} % interval {} to {})", plain(level), low.value, high.value);
    }
    if let Some(p) = &p.p {
        out += &format!(", p {}", p.written.value);
    }
    let counts = [("studies", &p.studies), ("people", &p.people)];
    out.extend(counts.iter().filter_map(|(name, n)| n.as_ref().map(|n| format!(", {} {name}", n.value))));
    if let Some(i2) = &p.i2 {
        out += &format!(", I² {} %", plain(i2.value));
    }
    out.replace('-', "−")
}
