//! `damage-isothermal`, `damage-history`, `threshold-published`: damage without a flow of heat.

use super::Kind;
use crate::calc::inputs::Inputs;
use crate::calc::outcome::Outcome;
use crate::compute::thermal::damage::{Arrhenius, Dose, HENRIQUES, HENRIQUES_SI, Line, TWO_RANGE, TWO_RANGE_DERMAL, TwoRange, cem43_rate};

/// Said wherever the second set of constants shows.
pub const SI_NOTE: &str = "`_si` uses a second set of constants found in print, which makes every time about five times longer: for comparison, never for a verdict.";

/// The kinds.
pub static KINDS: &[Kind] = &[
    Kind {
        name: "damage-isothermal",
        summary: "damage rates at one temperature, and the time to each limit",
        keys: &["T_C", "kelvin_offset", "henriques", "henriques_si", "two_range", "two_range_dermal", "cem43"],
        run: isothermal,
    },
    Kind {
        name: "isothermal",
        summary: "damage of skin held at one temperature for a time",
        keys: &["temperature_C", "time_s"],
        run: held,
    },
    Kind {
        name: "damage-history",
        summary: "damage integrals and crossings over a temperature history",
        keys: &["t_s", "T_C", "between"],
        run: history,
    },
    Kind {
        name: "threshold-published",
        summary: "predicted time to a burn at one temperature over the published time",
        keys: &["T_C", "published_necrosis_s", "published_reversible_s"],
        run: published,
    },
];

fn isothermal(inputs: &Inputs<'_>) -> Option<Outcome> {
    let t = inputs.number("T_C");
    let offset = inputs.maybe("kelvin_offset");
    let henriques = inputs.maybe_object("henriques", RATE, rate);
    let si = inputs.maybe_object("henriques_si", &["A_1_s", "E_J_kmol", "R_J_kmolK"], rate_si);
    let two = inputs.maybe_object("two_range", TWO, two_range);
    let dermal = inputs.maybe_object("two_range_dermal", TWO, two_range);
    let cem43 = inputs.maybe_object("cem43", &["zero_below_C", "break_C", "R_below", "R_above"], definition);
    let (t, _, _) = (t?, offset?, cem43?);
    let henriques = henriques?.unwrap_or(HENRIQUES).rate(t);
    let si = si?.unwrap_or(HENRIQUES_SI).rate(t);
    let two = two?.unwrap_or(TWO_RANGE).rate(t);
    let dermal = dermal?.unwrap_or(TWO_RANGE_DERMAL).rate(t);
    let time = |rate: f64, limit: f64| (rate > 0.0).then(|| limit / rate);
    let mut out = Outcome::default();
    out.number("henriques_rate_1_s", henriques).number("henriques_si_rate_1_s", si);
    out.number("two_range_rate_1_s", two).number("two_range_dermal_rate_1_s", dermal);
    out.maybe("henriques_t_omega_1_s", time(henriques, 1.0)).maybe("henriques_t_omega_0p53_s", time(henriques, 0.53));
    out.maybe("henriques_si_t_omega_1_s", time(si, 1.0)).maybe("two_range_t_omega_1_s", time(two, 1.0));
    out.number("cem43_per_minute", cem43_rate(t)).note(SI_NOTE);
    Some(out)
}

fn held(inputs: &Inputs<'_>) -> Option<Outcome> {
    let (t, time) = (inputs.number("temperature_C"), inputs.number("time_s"));
    let (t, time) = (t?, time?);
    let (times, temp) = ([0.0, time], [t, t]);
    let line = Line { t: &times, temp: &temp };
    let forever = [0.0, FOREVER];
    let reaches = |dose, limit| Line { t: &forever, temp: &temp }.reaches(dose, limit);
    let mut out = Outcome::default();
    out.number("omega_henriques", line.total(Dose::Burn(HENRIQUES))).number("cem43_min", line.total(Dose::Cem43));
    out.maybe("t_omega_0p53_s", reaches(Dose::Burn(HENRIQUES), 0.53)).maybe("t_omega_1_s", reaches(Dose::Burn(HENRIQUES), 1.0));
    out.maybe("t_cem43_2_s", reaches(Dose::Cem43, 2.0)).maybe("t_cem43_9_s", reaches(Dose::Cem43, 9.0));
    out.note("The layer itself is held at this temperature from the first second on; under a pack it lags behind the surface.");
    out.note("omega_henriques: 0.53 is a first-degree burn, 1 a second-degree burn (Henriques 1947, read in works that cite it).");
    Some(out)
}

/// What is not reached in a day counts as never, s.
const FOREVER: f64 = 86_400.0;

const RATE: &[&str] = &["A_1_s", "E_over_R_K"];
const TWO: &[&str] = &["from_C", "switch_C", "low", "high"];

fn rate(inputs: &Inputs<'_>) -> Option<Arrhenius> {
    let (a, e_over_r) = (inputs.number("A_1_s"), inputs.number("E_over_R_K"));
    Some(Arrhenius { a: a?, e_over_r: e_over_r? })
}

fn rate_si(inputs: &Inputs<'_>) -> Option<Arrhenius> {
    let (a, e, r) = (inputs.number("A_1_s"), inputs.number("E_J_kmol"), inputs.number("R_J_kmolK"));
    Some(Arrhenius { a: a?, e_over_r: e? / r? })
}

fn two_range(inputs: &Inputs<'_>) -> Option<TwoRange> {
    let (from, switch) = (inputs.number("from_C"), inputs.number("switch_C"));
    let (low, high) = (inputs.object("low", RATE, rate), inputs.object("high", RATE, rate));
    let (from, switch) = (from?, switch?);
    if switch < from {
        return inputs.refuse(
            "switch_C",
            "below `from_C`",
            "the upper range begins below the lower one",
            "write `switch_C` above `from_C`",
        );
    }
    Some(TwoRange { from, switch, low: low?, high: high? })
}

/// The equivalent minutes have one definition; a sheet may state it, not change it.
fn definition(inputs: &Inputs<'_>) -> Option<()> {
    let values = [
        ("zero_below_C", inputs.number("zero_below_C"), 39.0),
        ("break_C", inputs.number("break_C"), 43.0),
        ("R_below", inputs.number("R_below"), 0.25),
        ("R_above", inputs.number("R_above"), 0.5),
    ];
    for (key, value, defined) in values {
        if value?.total_cmp(&defined).is_ne() {
            let message = format!("`{key}` is part of the definition of CEM43 and is {defined}");
            return inputs.refuse(key, "another value", message, format!("write {defined}, or leave `cem43` out"));
        }
    }
    Some(())
}

fn history(inputs: &Inputs<'_>) -> Option<Outcome> {
    let times = inputs.rising("t_s", 2, 20_000);
    let between = if inputs.given("between") { inputs.word("between", &[("linear", ())]) } else { Some(()) };
    let times = times?;
    let temp = inputs.as_many("T_C", times.len());
    let (temp, ()) = (temp?, between?);
    let line = Line { t: &times, temp: &temp };
    let mut out = Outcome::default();
    out.number("omega_henriques", line.total(Dose::Burn(HENRIQUES)));
    out.number("omega_henriques_si", line.total(Dose::Burn(HENRIQUES_SI)));
    out.number("omega_two_range", line.total(Dose::Blister(TWO_RANGE))).number("cem43_min", line.total(Dose::Cem43));
    out.number("time_above_43_s", line.above(43.0));
    out.number("time_below_15_s", line.below(15.0)).number("time_below_0_s", line.below(0.0));
    out.maybe("t_first_43_s", line.rises_to(43.0)).maybe("t_first_below_13p6_s", line.falls_to(13.6)).note(SI_NOTE);
    Some(out)
}

fn published(inputs: &Inputs<'_>) -> Option<Outcome> {
    let (t, necrosis) = (inputs.number("T_C"), inputs.number("published_necrosis_s"));
    let reversible = inputs.maybe("published_reversible_s");
    let (t, necrosis, _) = (t?, necrosis?, reversible?);
    let ratio = |rate: f64| (rate > 0.0).then(|| 1.0 / rate / necrosis);
    let mut out = Outcome::default();
    out.maybe("ratio_henriques_to_necrosis", ratio(HENRIQUES.rate(t)));
    out.maybe("ratio_henriques_si_to_necrosis", ratio(HENRIQUES_SI.rate(t)));
    out.maybe("ratio_two_range_to_necrosis", ratio(TWO_RANGE.rate(t)));
    out.number("cem43_at_necrosis_min", cem43_rate(t) * necrosis / 60.0).note(SI_NOTE);
    Some(out)
}
