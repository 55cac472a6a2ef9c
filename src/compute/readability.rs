//! How hard an English text is to read: the grade of Flesch and Kincaid, and the syllables that it needs.
//!
//! J. P. Kincaid, R. P. Fishburne, R. L. Rogers, B. S. Chissom: Derivation of new readability formulas for
//! Navy enlisted personnel. Research Branch Report 8-75, 1975:
//! grade = 0.39 words / sentences + 11.8 syllables / words - 15.59. It was made on running text and says little
//! about a single sentence.

/// Counts of a text.
#[derive(Copy, Clone, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    /// Sentences.
    pub sentences: u32,
    /// Words.
    pub words: u32,
    /// Syllables.
    pub syllables: u32,
}

impl Counts {
    /// Counts of one sentence.
    pub fn of_sentence<'a>(words: impl Iterator<Item = &'a str>) -> Self {
        words.fold(Self { sentences: 1, ..Self::default() }, |c, word| Self {
            words: c.words + 1,
            syllables: c.syllables + syllables(word),
            ..c
        })
    }

    /// Both together.
    #[must_use]
    pub fn plus(self, other: Self) -> Self {
        Self { sentences: self.sentences + other.sentences, words: self.words + other.words, syllables: self.syllables + other.syllables }
    }

    /// What is left without a part of it.
    #[must_use]
    pub fn without(self, part: Self) -> Self {
        Self {
            sentences: self.sentences.saturating_sub(part.sentences),
            words: self.words.saturating_sub(part.words),
            syllables: self.syllables.saturating_sub(part.syllables),
        }
    }

    /// The grade; `None` without a word.
    pub fn grade(self) -> Option<f64> {
        let (sentences, words, syllables) = (f64::from(self.sentences), f64::from(self.words), f64::from(self.syllables));
        (self.sentences > 0 && self.words > 0).then(|| 0.39 * words / sentences + 11.8 * syllables / words - 15.59)
    }
}

/// Words that the rules below miss.
const EXCEPTIONS: [(&str, u32); 45] = [
    ("anyone", 3),
    ("aorta", 3),
    ("area", 3),
    ("areas", 3),
    ("averaged", 2),
    ("being", 2),
    ("beside", 2),
    ("beyond", 2),
    ("business", 2),
    ("cushion", 2),
    ("doing", 2),
    ("equal", 2),
    ("equally", 3),
    ("evening", 2),
    ("every", 2),
    ("everybody", 4),
    ("everyone", 3),
    ("everything", 3),
    ("everywhere", 3),
    ("fibre", 2),
    ("fibres", 2),
    ("fluid", 2),
    ("forehead", 2),
    ("frequent", 2),
    ("giant", 2),
    ("going", 2),
    ("headache", 2),
    ("headaches", 2),
    ("idea", 3),
    ("language", 2),
    ("layer", 2),
    ("layers", 2),
    ("nausea", 3),
    ("people", 2),
    ("persuade", 2),
    ("quarter", 2),
    ("question", 2),
    ("questions", 2),
    ("reaction", 3),
    ("reassure", 3),
    ("safety", 2),
    ("sideways", 2),
    ("technique", 2),
    ("techniques", 2),
    ("therefore", 2),
];

/// Syllables of an English word, by rules and a few exceptions. Digits count one each.
pub fn syllables(word: &str) -> u32 {
    let word: Vec<char> = word.chars().flat_map(char::to_lowercase).filter(|c| c.is_alphanumeric()).collect();
    let digits = word.iter().filter(|c| c.is_numeric()).count();
    let letters: String = word.into_iter().filter(|c| !c.is_numeric()).collect();
    let digits = u32::try_from(digits).unwrap_or(u32::MAX);
    if letters.is_empty() {
        return digits.max(1);
    }
    let known = EXCEPTIONS.iter().find(|(w, _)| *w == letters).map(|(_, n)| *n);
    digits + known.unwrap_or_else(|| by_rules(&letters))
}

fn vowel(c: char) -> bool {
    matches!(c, 'a' | 'e' | 'i' | 'o' | 'u' | 'y' | 'ä' | 'ö' | 'ü' | 'é' | 'è' | 'á' | 'í' | 'ó' | 'ú')
}

/// Vowels side by side that are spoken apart.
const APART: [&str; 15] =
    ["ia", "io", "iu", "eo", "ua", "eing", "iing", "uing", "oing", "create", "creati", "creato", "ienc", "ient", "iet"];
/// Of those, the ones that are spoken as one after all.
const TOGETHER: [&str; 16] =
    ["cio", "sio", "tio", "xio", "gio", "shio", "cia", "sia", "tia", "gia", "geo", "qua", "gua", "cient", "tient", "people"];
/// Vowels of which the second is heard, where the first is a u.
const HEARD_AFTER_U: [&str; 4] = ["fluent", "influence", "ruin", "uous"];
/// Ends that follow a silent e.
const AFTER_SILENT_E: [&str; 8] = ["ful", "less", "ly", "ment", "ness", "some", "where", "time"];
/// First parts of compounds that end with a silent e.
const BEFORE_SILENT_E: [&str; 16] =
    ["base", "fore", "frame", "guide", "home", "house", "life", "like", "name", "pace", "safe", "side", "some", "there", "time", "trade"];

fn by_rules(word: &str) -> u32 {
    let letters: Vec<char> = word.chars().collect();
    let mut count = 0_i32;
    let (mut before, mut sounded) = (None, false);
    for (i, c) in letters.iter().copied().enumerate() {
        let next = letters.get(i + 1).copied();
        let consonant = match c {
            'y' => i == 0 || sounded && next.is_some_and(vowel),
            'u' => before == Some('q'),
            _ => !vowel(c),
        };
        count += i32::from(!consonant && (!sounded || c == 'i' && before == Some('y')));
        (before, sounded) = (Some(c), !consonant);
    }
    let times = |parts: &[&str]| parts.iter().map(|p| i32::try_from(word.matches(p).count()).unwrap_or(0)).sum::<i32>();
    count += times(&APART) + times(&HEARD_AFTER_U) - times(&TOGETHER);
    count += i32::from(word.ends_with("ier") || word.ends_with("iest"));
    count -= i32::from(silent_end(word)) + i32::from(silent_e_inside(word));
    count += i32::from(["sm", "sms", "thm", "thms", "dnt", "snt"].iter().any(|end| word.ends_with(end)));
    u32::try_from(count.max(1)).unwrap_or(1)
}

/// `make`, `helped`, `holds`: an e that is written and not heard.
fn silent_end(word: &str) -> bool {
    let before = |end: &str| word.strip_suffix(end).and_then(|rest| rest.chars().next_back());
    let mute = |c: char| !vowel(c) || c == 'y';
    // `table`, `centre`: the last consonant makes a syllable of its own.
    let own = |end: &str| before(end).is_some_and(|c| !vowel(c) && !matches!(c, 'l' | 'r'));
    if let Some(c) = before("e") {
        return mute(c) && !own("le") && !own("tre") && !own("bre");
    }
    if let Some(c) = before("ed") {
        return mute(c) && !matches!(c, 't' | 'd') && !own("led") && word != "hundred" && word != "naked";
    }
    let hissing = |c: char| matches!(c, 's' | 'c' | 'x' | 'z' | 'g');
    let own = own("les") || own("tres") || own("bres");
    before("es").is_some_and(|c| mute(c) && !hissing(c) && !word.ends_with("shes") && !word.ends_with("ches") && !own)
}

/// `careful`, `something`: a silent e before an ending or inside a compound.
fn silent_e_inside(word: &str) -> bool {
    let compound = BEFORE_SILENT_E.iter().filter_map(|p| word.strip_prefix(p));
    let stem = word.strip_suffix('s').unwrap_or(word);
    let ending = |end: &&str| stem.strip_suffix(*end).or_else(|| word.strip_suffix(*end));
    let silent = |stem: &str| {
        let mut back = stem.chars().rev();
        back.next() == Some('e') && back.next().is_some_and(|c| !vowel(c) && c != 'l') && stem.chars().filter(|c| vowel(*c)).count() > 1
    };
    compound.filter_map(|rest| rest.chars().next()).any(|c| !vowel(c) && !matches!(c, 's' | 'r' | 'n'))
        || AFTER_SILENT_E.iter().filter_map(ending).any(silent)
}
