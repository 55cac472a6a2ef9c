//! Amounts in running text: `for a minute`, `45 to 60 s`, `twice a day`, `3 passes`, `5/10`.
//!
//! Only amounts with a unit or with a word for "times" are read. What tells a pause between checks or
//! a time that has passed (`every 30 s`, `within 2 min`, `a day later`) is no dose and is left out.

use crate::model::interval::Interval;
use crate::model::unit::Dim;
use std::ops::Range;

/// What an amount counts.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Counts {
    /// A dimension of the unit list.
    Dim(Dim),
    /// Days or weeks: how long a programme lasts, in seconds.
    Programme,
    /// Times, without saying of what.
    Times,
    /// Times a day.
    TimesADay,
    /// Times a week.
    TimesAWeek,
}

/// How the text bounds an amount.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Bounds {
    /// This amount or range.
    Exactly,
    /// Up to this.
    AtMost,
    /// From this on.
    AtLeast,
}

/// An amount that was found.
#[derive(Clone, Debug, PartialEq)]
pub struct Spoken {
    /// Bytes of the text.
    pub at: Range<usize>,
    /// What it counts.
    pub counts: Counts,
    /// The amount in base units.
    pub amount: Interval,
    /// How it is bounded.
    pub bounds: Bounds,
}

/// All amounts of a text, in order.
pub fn amounts(text: &str) -> Vec<Spoken> {
    let tokens = tokens(text);
    let mut out = Vec::new();
    let mut i = 0;
    while i < tokens.len() {
        let mut reader = Reader { tokens: &tokens, at: i };
        match reader.amount() {
            Some((counts, amount)) => {
                let end = reader.at;
                // A fall from one number to another is a change, not a range.
                let no_dose = passed_by(&tokens, end) || amount.lo > amount.hi;
                if let (Some(bounds), false) = (bounds(&tokens, i), no_dose) {
                    let at = tokens[i].at.start..tokens[end - 1].at.end;
                    out.push(Spoken { at, counts, amount, bounds });
                }
                i = end;
            }
            None => i += 1,
        }
    }
    out
}

struct Token {
    at: Range<usize>,
    text: String,
}

/// Numbers, words and single signs, in small letters.
fn tokens(text: &str) -> Vec<Token> {
    let mut out: Vec<Token> = Vec::new();
    let mut chars = text.char_indices().peekable();
    while let Some((start, first)) = chars.next() {
        if first.is_whitespace() {
            continue;
        }
        let mut end = start + first.len_utf8();
        while let Some((i, c)) = chars.peek().copied() {
            let next = text[i + c.len_utf8()..].chars().next();
            let point = c == '.' && next.is_some_and(|n| n.is_ascii_digit());
            let goes_on = if first.is_ascii_digit() { c.is_ascii_digit() || point } else { first.is_alphabetic() && c.is_alphabetic() };
            if !goes_on {
                break;
            }
            end = i + c.len_utf8();
            chars.next();
        }
        out.push(Token { at: start..end, text: text[start..end].to_lowercase() });
    }
    out
}

const ONES: [&str; 20] = [
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
];
const TENS: [&str; 8] = ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"];

struct Reader<'a> {
    tokens: &'a [Token],
    at: usize,
}

/// A number and whether it was written as `a` or `an`.
type Number = (f64, bool);

impl Reader<'_> {
    fn peek(&self, ahead: usize) -> &str {
        self.tokens.get(self.at + ahead).map_or("", |t| &t.text)
    }

    fn eat(&mut self, options: &[&str]) -> bool {
        let hit = !self.peek(0).is_empty() && options.contains(&self.peek(0));
        self.at += usize::from(hit);
        hit
    }

    fn amount(&mut self) -> Option<(Counts, Interval)> {
        if let Some(times) = self.adverb() {
            return Some((self.frequency(Counts::Times), Interval::exact(times)));
        }
        let (low, article) = self.number()?;
        let mut amount = Interval::exact(low);
        if self.range_word() {
            let (high, _) = self.number()?;
            amount = Interval::new(low, high);
        }
        let (counts, factor) = self.unit(article)?;
        let mut amount = Interval::new(amount.lo * factor, amount.hi * factor);
        let back = self.at;
        if self.range_word() {
            match self.number().and_then(|(n, a)| self.unit(a).map(|(c, f)| (c, n * f))) {
                Some((same, high)) if same == counts => amount.hi = high,
                _ => self.at = back,
            }
        }
        if self.peek(0) == "and" && self.peek(1) == "a" && self.peek(2) == "half" {
            self.at += 3;
            amount = Interval::new(amount.lo + factor / 2.0, amount.hi + factor / 2.0);
        }
        Some((counts, amount))
    }

    /// `once`, `twice`, `thrice`; `once` alone mostly means something else.
    fn adverb(&mut self) -> Option<f64> {
        let word_is_once = self.peek(0) == "once";
        let times = match self.peek(0) {
            "twice" => 2.0,
            "thrice" => 3.0,
            "once" => 1.0,
            _ => return None,
        };
        let ends = self.peek(1).is_empty() || [".", ",", ";", "daily", "weekly", "per"].contains(&self.peek(1));
        let often = self.peek(1) == "a" && ["day", "week"].contains(&self.peek(2));
        let at = self.at.checked_sub(1).and_then(|i| self.tokens.get(i)).is_some_and(|t| t.text == "at");
        if word_is_once && (at || !(ends || often)) {
            return None;
        }
        self.at += 1;
        Some(times)
    }

    fn number(&mut self) -> Option<Number> {
        let word = self.peek(0).to_string();
        if let Ok(value) = word.parse::<f64>()
            && word.starts_with(|c: char| c.is_ascii_digit())
        {
            self.at += 1;
            return Some((value, false));
        }
        let small = |w: &str| ONES.iter().position(|o| *o == w).and_then(|n| u32::try_from(n).ok()).map(f64::from);
        if let Some(value) = small(&word) {
            self.at += 1;
            return Some((value, false));
        }
        if let Some(tens) = TENS.iter().position(|t| *t == word).and_then(|n| u32::try_from(n).ok()) {
            self.at += 1;
            let dash = usize::from(self.peek(0) == "-");
            let ones = small(self.peek(dash)).filter(|n| (1.0..10.0).contains(n));
            self.at += ones.map_or(0, |_| dash + 1);
            return Some((f64::from(tens + 2) * 10.0 + ones.unwrap_or(0.0), false));
        }
        let (value, words) = match (&*word, self.peek(1)) {
            ("half", "a" | "an") => (0.5, 2),
            ("half", _) => (0.5, 1),
            ("a" | "an", "half") => (0.5, 2),
            ("a" | "an", _) => (1.0, 1),
            _ => return None,
        };
        self.at += words;
        Some((value, true))
    }

    fn range_word(&mut self) -> bool {
        let back = self.at;
        let between = back >= 2 && self.tokens[back - 2].text == "between";
        let word = self.eat(&["-", "–", "to", "or"]) || (between && self.eat(&["and"]));
        let number = word && Reader { tokens: self.tokens, at: self.at }.number().is_some_and(|(_, article)| !article);
        if !number {
            self.at = back;
        }
        number
    }

    /// Unit and its factor to the base unit.
    fn unit(&mut self, article: bool) -> Option<(Counts, f64)> {
        if self.peek(0) == "/" && self.peek(1) == "10" {
            self.at += 2;
            return Some((Counts::Dim(Dim::Pain), 1.0));
        }
        if self.peek(0) == "out" && self.peek(1) == "of" && ["10", "ten"].contains(&self.peek(2)) {
            self.at += 3;
            return Some((Counts::Dim(Dim::Pain), 1.0));
        }
        let ordinal = article && self.peek(0) == "second" && !self.after(&["for", "half", "than"]);
        let (counts, factor) = match self.peek(0) {
            _ if ordinal => return None,
            "s" | "sec" | "secs" | "second" | "seconds" => (Counts::Dim(Dim::Time), 1.0),
            "min" | "mins" | "minute" | "minutes" => (Counts::Dim(Dim::Time), 60.0),
            "h" | "hour" | "hours" => (Counts::Dim(Dim::Time), 3600.0),
            "day" | "days" => (Counts::Programme, 86_400.0),
            "week" | "weeks" => (Counts::Programme, 604_800.0),
            _ if article => return None,
            "times" => (Counts::Times, 1.0),
            "pass" | "passes" => (Counts::Dim(Dim::Passes), 1.0),
            "rep" | "reps" | "repeat" | "repeats" | "repetition" | "repetitions" => (Counts::Dim(Dim::Reps), 1.0),
            "set" | "sets" => (Counts::Dim(Dim::Sets), 1.0),
            "lines" => (Counts::Dim(Dim::Lines), 1.0),
            "layers" => (Counts::Dim(Dim::Layers), 1.0),
            "%" | "percent" => (Counts::Dim(Dim::Percent), 1.0),
            "°" if self.peek(1) == "c" => (Counts::Dim(Dim::Temperature), 1.0),
            "degc" => (Counts::Dim(Dim::Temperature), 1.0),
            "cm" if self.peek(1) == "/" && self.peek(2) == "s" => (Counts::Dim(Dim::Speed), 0.01),
            _ => return None,
        };
        self.at += match counts {
            Counts::Dim(Dim::Speed) => 3,
            Counts::Dim(Dim::Temperature) if self.peek(0) == "°" => 2,
            _ => 1,
        };
        Some(self.unit_in_a_week(counts, factor))
    }

    /// `5 days a week` counts days, `3 times a day` counts times a day.
    fn unit_in_a_week(&mut self, counts: Counts, factor: f64) -> (Counts, f64) {
        match counts {
            Counts::Programme if factor < 604_800.0 && ["a", "per"].contains(&self.peek(0)) && self.peek(1) == "week" => {
                self.at += 2;
                (Counts::Dim(Dim::DaysPerWeek), 1.0)
            }
            Counts::Times => (self.frequency(Counts::Times), factor),
            _ => (counts, factor),
        }
    }

    fn frequency(&mut self, plain: Counts) -> Counts {
        let word = usize::from(["a", "per", "each", "every"].contains(&self.peek(0)));
        let counts = match self.peek(word) {
            "daily" => Counts::TimesADay,
            "weekly" => Counts::TimesAWeek,
            "day" if word == 1 => Counts::TimesADay,
            "week" if word == 1 => Counts::TimesAWeek,
            _ => return plain,
        };
        self.at += word + 1;
        counts
    }

    /// True if the word before the number is one of these.
    fn after(&self, words: &[&str]) -> bool {
        self.at.checked_sub(2).and_then(|i| self.tokens.get(i)).is_some_and(|t| words.contains(&&*t.text))
    }
}

/// Bounds from the words before an amount; `None` if they make it no dose.
fn bounds(tokens: &[Token], at: usize) -> Option<Bounds> {
    let back = |n: usize| at.checked_sub(n).and_then(|i| tokens.get(i)).map_or("", |t| &*t.text);
    match (back(3), back(2), back(1)) {
        (_, "up", "to") | (_, "at", "most") | (_, _, "maximum" | "max" | "below" | "under") => Some(Bounds::AtMost),
        ("no" | "not", "more" | "longer" | "above", "than") | (_, "not" | "never", "above" | "over") => Some(Bounds::AtMost),
        (_, "at", "least") | (_, _, "minimum") => Some(Bounds::AtLeast),
        (_, "more" | "longer" | "less" | "fewer" | "sooner", "than") => None,
        (_, _, "every" | "each" | "within" | "over" | "last" | "first" | "by" | "wait" | "from") => None,
        _ => Some(Bounds::Exactly),
    }
}

/// True if the words after an amount place it in time.
fn passed_by(tokens: &[Token], end: usize) -> bool {
    tokens.get(end).is_some_and(|t| ["ago", "later", "earlier", "before", "after", "old"].contains(&&*t.text))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Vec<(String, Counts, f64, f64, Bounds)> {
        amounts(text).into_iter().map(|s| (text[s.at].to_string(), s.counts, s.amount.lo, s.amount.hi, s.bounds)).collect()
    }

    #[test]
    fn amounts_are_read_in_digits_and_in_words() {
        use Bounds::{AtLeast, AtMost, Exactly};
        use Counts::{Dim as D, Programme, Times, TimesADay, TimesAWeek};
        let cases = [
            ("Press for a minute.", "a minute", D(Dim::Time), 60.0, 60.0, Exactly),
            ("Hold for thirty seconds.", "thirty seconds", D(Dim::Time), 30.0, 30.0, Exactly),
            ("Hold for forty-five seconds.", "forty-five seconds", D(Dim::Time), 45.0, 45.0, Exactly),
            ("Hold half a minute.", "half a minute", D(Dim::Time), 30.0, 30.0, Exactly),
            ("Stay a minute and a half.", "a minute and a half", D(Dim::Time), 90.0, 90.0, Exactly),
            ("Hold 30–60 s.", "30–60 s", D(Dim::Time), 30.0, 60.0, Exactly),
            ("Hold 30 s to 1 min.", "30 s to 1 min", D(Dim::Time), 30.0, 60.0, Exactly),
            ("Hold between 30 and 60 s.", "30 and 60 s", D(Dim::Time), 30.0, 60.0, Exactly),
            ("Hold up to 1.5 min.", "1.5 min", D(Dim::Time), 90.0, 90.0, AtMost),
            ("Hold at least 20 s.", "20 s", D(Dim::Time), 20.0, 20.0, AtLeast),
            ("Sweep two or three passes.", "two or three passes", D(Dim::Passes), 2.0, 3.0, Exactly),
            ("Do it twice.", "twice", Times, 2.0, 2.0, Exactly),
            ("Do it 3 times.", "3 times", Times, 3.0, 3.0, Exactly),
            ("Stretch twice a day.", "twice a day", TimesADay, 2.0, 2.0, Exactly),
            ("Stretch three times per week.", "three times per week", TimesAWeek, 3.0, 3.0, Exactly),
            ("Stretch five days a week.", "five days a week", D(Dim::DaysPerWeek), 5.0, 5.0, Exactly),
            ("Go on for 4 weeks.", "4 weeks", Programme, 2_419_200.0, 2_419_200.0, Exactly),
            ("Stay below 5/10.", "5/10", D(Dim::Pain), 5.0, 5.0, AtMost),
            ("Pain is 4 out of 10.", "4 out of 10", D(Dim::Pain), 4.0, 4.0, Exactly),
            ("Push with 20 % of your strength.", "20 %", D(Dim::Percent), 20.0, 20.0, Exactly),
            ("Move at 10 cm/s.", "10 cm/s", D(Dim::Speed), 0.1, 0.1, Exactly),
        ];
        for (text, part, counts, lo, hi, bounds) in cases {
            assert_eq!(read(text), [(part.to_string(), counts, lo, hi, bounds)], "{text}");
        }
    }

    #[test]
    fn what_is_no_dose_is_left_out() {
        let texts = [
            "Press point 1.",
            "Ask every 30 s.",
            "Start within 2 min.",
            "Soreness a day later is common.",
            "Look at the skin once more.",
            "Stop at once.",
            "Give a second sweep.",
            "Pain falls by 2 passes.",
            "A pass along the line.",
            "Stand in one line.",
            "Tell it 2 more times",
            "Numbness that lasts over 10 s.",
            "Pain falls from 5/10 to 3/10.",
            "",
        ];
        for text in texts {
            assert_eq!(read(text), [], "{text}");
        }
    }

    proptest::proptest! {
        #[test]
        fn any_text_is_read_inside_its_bounds(text in "[a-z0-9 .,/%°–-]{0,40}|\\PC{0,30}") {
            for spoken in amounts(&text) {
                proptest::prop_assert!(text.get(spoken.at).is_some());
            }
        }
    }
}
