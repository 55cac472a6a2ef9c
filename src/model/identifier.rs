//! Identifiers of publications and people. Only [`Identifier::read`] makes one, so whoever holds one
//! holds a right form and a right check digit.

use std::ops::Range;

/// Who hands the identifier out.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Scheme {
    /// Digital object identifier (ISO 26324).
    Doi,
    /// Number in PubMed.
    Pmid,
    /// Number in PubMed Central.
    Pmcid,
    /// Book number (ISO 2108).
    Isbn,
    /// Number of a serial (ISO 3297).
    Issn,
    /// Number of a contributor (ISO 27729 with the check of ISO 7064).
    Orcid,
}

impl Scheme {
    /// The schemes of a publication, in the order in which they are shown.
    pub const OF_PUBLICATIONS: [Scheme; 5] = [Scheme::Doi, Scheme::Pmid, Scheme::Pmcid, Scheme::Isbn, Scheme::Issn];

    /// Key in packs and in CSL-JSON.
    pub fn key(self) -> &'static str {
        match self {
            Scheme::Doi => "DOI",
            Scheme::Pmid => "PMID",
            Scheme::Pmcid => "PMCID",
            Scheme::Isbn => "ISBN",
            Scheme::Issn => "ISSN",
            Scheme::Orcid => "ORCID",
        }
    }

    /// Name for people.
    pub fn label(self) -> &'static str {
        match self {
            Scheme::Pmid => "PubMed",
            Scheme::Pmcid => "PubMed Central",
            other => other.key(),
        }
    }

    /// What may stand before the identifier itself.
    fn prefixes(self) -> &'static [&'static str] {
        match self {
            Scheme::Doi => &["https://doi.org/", "http://doi.org/", "https://dx.doi.org/", "http://dx.doi.org/", "doi:"],
            Scheme::Orcid => &["https://orcid.org/", "http://orcid.org/"],
            _ => &[],
        }
    }
}

/// An identifier of right form, without resolver and hyphens that carry nothing.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Identifier {
    scheme: Scheme,
    plain: Box<str>,
}

/// What is wrong with one, and with which bytes of what was written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct IdentifierMistake {
    /// Where.
    pub at: Range<usize>,
    /// What.
    pub what: String,
    /// What to write.
    pub help: String,
}

impl Identifier {
    /// Reads an identifier as written.
    ///
    /// # Errors
    /// When form or check digit is wrong.
    pub fn read(scheme: Scheme, written: &str) -> Result<Identifier, IdentifierMistake> {
        let bare = scheme.prefixes().iter().find_map(|p| written.get(p.len()..).filter(|_| starts_with(written, p))).unwrap_or(written);
        let start = written.len() - bare.len();
        let plain = match scheme {
            Scheme::Doi => doi(bare),
            Scheme::Pmid => digits(bare, "1 to 8 digits that do not start with 0, as 21885906"),
            Scheme::Pmcid => match bare.strip_prefix("PMC") {
                Some(number) => digits(number, PMCID).map(|n| format!("PMC{n}")).map_err(|m| shifted(m, 3)),
                None => Err(whole(bare, "does not start with PMC", PMCID)),
            },
            Scheme::Isbn => isbn(bare),
            Scheme::Issn => issn(bare),
            Scheme::Orcid => orcid(bare),
        };
        plain.map(|p| Identifier { scheme, plain: p.into() }).map_err(|m| shifted(m, start))
    }

    /// Who handed it out.
    pub fn scheme(&self) -> Scheme {
        self.scheme
    }

    /// The identifier: a DOI without resolver, an ISBN without hyphens.
    pub fn plain(&self) -> &str {
        &self.plain
    }

    /// What is equal for two ways of writing one identifier: a DOI is the same in any case, and an ISBN of
    /// ten digits is one of thirteen.
    pub fn sameness(&self) -> String {
        match self.scheme {
            Scheme::Isbn if self.plain.len() == 10 => {
                let body: String = "978".chars().chain(self.plain.chars().take(9)).collect();
                format!("{body}{}", ean_digit(&body))
            }
            _ => self.plain.to_lowercase(),
        }
    }
}

const PMCID: &str = "write PMC and the number, as PMC3140076";

fn starts_with(text: &str, prefix: &str) -> bool {
    text.get(..prefix.len()).is_some_and(|t| t.eq_ignore_ascii_case(prefix))
}

fn whole(written: &str, what: &str, help: &str) -> IdentifierMistake {
    IdentifierMistake { at: 0..written.len(), what: what.into(), help: help.into() }
}

fn shifted(mistake: IdentifierMistake, by: usize) -> IdentifierMistake {
    IdentifierMistake { at: mistake.at.start + by..mistake.at.end + by, ..mistake }
}

/// The bytes of the first character that does not belong.
fn stranger(written: &str, belongs: impl Fn(char) -> bool) -> Option<(Range<usize>, char)> {
    written.char_indices().find(|(_, c)| !belongs(*c)).map(|(i, c)| (i..i + c.len_utf8(), c))
}

fn digits(written: &str, help: &str) -> Result<String, IdentifierMistake> {
    if let Some((at, c)) = stranger(written, |c| c.is_ascii_digit()) {
        return Err(IdentifierMistake { at, what: format!("`{c}` is no digit"), help: help.into() });
    }
    match written.len() {
        1..=8 if !written.starts_with('0') => Ok(written.to_string()),
        1..=8 => Err(whole(written, "starts with 0", help)),
        n => Err(whole(written, &format!("has {n} digits"), help)),
    }
}

/// `10.`, a registrant of digits with dots, a slash, and a name without spaces.
fn doi(written: &str) -> Result<String, IdentifierMistake> {
    let help = "write prefix and name with a slash between, as 10.2519/jospt.2011.3666";
    let Some((prefix, name)) = written.split_once('/') else { return Err(whole(written, "has no slash", help)) };
    let registrant = prefix.strip_prefix("10.").unwrap_or_default();
    let right = |part: &str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
    if !registrant.split('.').all(right) || registrant.split('.').next().is_none_or(|first| first.len() < 4) {
        return Err(whole(prefix, "is no prefix of a DOI", help));
    }
    if name.is_empty() {
        return Err(whole(written, "ends at the slash", help));
    }
    if let Some((at, c)) = stranger(written, |c| !c.is_whitespace() && !c.is_control()) {
        return Err(IdentifierMistake {
            at,
            what: format!("{} in a DOI", if c == ' ' { "a space" } else { "an unseen character" }),
            help: help.into(),
        });
    }
    if let Some(c @ ('.' | ',' | ';')) = name.chars().last() {
        let end = written.len();
        return Err(IdentifierMistake {
            at: end - 1..end,
            what: format!("ends with `{c}`"),
            help: "delete what belongs to the sentence".into(),
        });
    }
    Ok(written.to_string())
}

/// Characters that count, with their bytes; hyphens and spaces do not count.
fn counted(written: &str, length: &[usize], help: &str) -> Result<Vec<(usize, char)>, IdentifierMistake> {
    if let Some((at, c)) = stranger(written, |c| c.is_ascii_digit() || matches!(c, 'X' | 'x' | '-' | ' ')) {
        return Err(IdentifierMistake { at, what: format!("`{c}` does not belong here"), help: help.into() });
    }
    let all: Vec<(usize, char)> =
        written.char_indices().filter(|(_, c)| !matches!(c, '-' | ' ')).map(|(i, c)| (i, c.to_ascii_uppercase())).collect();
    if !length.contains(&all.len()) {
        return Err(whole(written, &format!("has {} digits", all.len()), help));
    }
    if let Some((i, _)) = all.iter().rev().skip(1).find(|(_, c)| *c == 'X') {
        return Err(IdentifierMistake { at: *i..i + 1, what: "an X before the last place".into(), help: help.into() });
    }
    Ok(all)
}

/// Compares the last character with the one that the others ask for.
fn checked(all: &[(usize, char)], wanted: impl Fn(&str) -> char) -> Result<String, IdentifierMistake> {
    let plain: String = all.iter().map(|(_, c)| c).collect();
    let Some(((at, last), body)) = all.last().zip(plain.get(..plain.len() - 1)) else { return Ok(plain) };
    let wanted = wanted(body);
    if *last == wanted {
        return Ok(plain);
    }
    Err(IdentifierMistake {
        at: *at..at + 1,
        what: format!("the check digit of the others is {wanted}"),
        help: "compare every digit with the publication: one of them is mistyped".into(),
    })
}

fn isbn(written: &str) -> Result<String, IdentifierMistake> {
    let help = "write 10 or 13 digits, as 978-3-16-148410-0";
    let all = counted(written, &[10, 13], help)?;
    if all.len() == 10 {
        return checked(&all, |body| weighted_digit(body, 10));
    }
    let start: String = all.iter().take(3).map(|(_, c)| c).collect();
    if !matches!(&*start, "978" | "979") {
        return Err(whole(written, "13 digits that do not start with 978 or 979", help));
    }
    checked(&all, ean_digit)
}

fn issn(written: &str) -> Result<String, IdentifierMistake> {
    let all = counted(written, &[8], "write 8 digits, as 0378-5955")?;
    let plain = checked(&all, |body| weighted_digit(body, 8))?;
    Ok(format!("{}-{}", &plain[..4], &plain[4..]))
}

fn orcid(written: &str) -> Result<String, IdentifierMistake> {
    let all = counted(written, &[16], "write 16 digits in fours, as 0000-0002-1825-0097")?;
    let plain = checked(&all, iso_7064_digit)?;
    Ok([&plain[..4], &plain[4..8], &plain[8..12], &plain[12..]].join("-"))
}

fn values(body: &str) -> impl Iterator<Item = u32> + '_ {
    body.chars().filter_map(|c| c.to_digit(10))
}

fn as_digit(value: u32) -> char {
    if value == 10 { 'X' } else { char::from_digit(value, 10).unwrap_or('0') }
}

/// Modulus 11 with falling weights, of ISBN-10 and ISSN.
fn weighted_digit(body: &str, from: u32) -> char {
    let sum: u32 = values(body).zip((2..=from).rev()).map(|(v, w)| v * w).sum();
    as_digit((11 - sum % 11) % 11)
}

/// Modulus 10 with weights 1 and 3, of ISBN-13.
fn ean_digit(body: &str) -> char {
    let sum: u32 = values(body).zip([1, 3].into_iter().cycle()).map(|(v, w)| v * w).sum();
    as_digit((10 - sum % 10) % 10)
}

/// ISO 7064, modulus 11-2.
fn iso_7064_digit(body: &str) -> char {
    let total = values(body).fold(0, |total, v| (total + v) * 2 % 11);
    as_digit((12 - total % 11) % 11)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Worked examples as the agencies print them: ISBN 0-306-40615-2 and 978-0-306-40615-7, 978-3-16-148410-0
    /// (International ISBN Agency, ISBN Users' Manual: ISO 2108), ISSN 0378-5955 and 2434-561X (ISSN International
    /// Centre: ISO 3297), ORCID 0000-0002-1825-0097, 0000-0001-5109-3700 and 0000-0002-1694-233X (ORCID, structure of
    /// the identifier: ISO 7064 mod 11-2). The examples are from memory of those pages; each is its own proof, since
    /// a slip in any digit breaks the check.
    const RIGHT: [(Scheme, &str, &str); 13] = [
        (Scheme::Isbn, "0-306-40615-2", "0306406152"),
        (Scheme::Isbn, "978-0-306-40615-7", "9780306406157"),
        (Scheme::Isbn, "978-3-16-148410-0", "9783161484100"),
        (Scheme::Isbn, "0-8044-2957-X", "080442957X"),
        (Scheme::Issn, "0378-5955", "0378-5955"),
        (Scheme::Issn, "2434561x", "2434-561X"),
        (Scheme::Orcid, "0000-0002-1825-0097", "0000-0002-1825-0097"),
        (Scheme::Orcid, "https://orcid.org/0000-0002-1694-233X", "0000-0002-1694-233X"),
        (Scheme::Orcid, "0000000151093700", "0000-0001-5109-3700"),
        (Scheme::Doi, "https://doi.org/10.1000/182", "10.1000/182"),
        (Scheme::Doi, "DOI:10.1000.10/A(b)<c>", "10.1000.10/A(b)<c>"),
        (Scheme::Pmid, "21885906", "21885906"),
        (Scheme::Pmcid, "PMC3140076", "PMC3140076"),
    ];

    #[test]
    fn published_examples_are_right() {
        for (scheme, written, plain) in RIGHT {
            assert_eq!(Identifier::read(scheme, written).map(|i| i.plain().to_string()), Ok(plain.to_string()), "{written}");
        }
    }

    #[test]
    fn mistakes_are_shown_at_their_characters() {
        let at = |scheme, written: &str| {
            let mistake = Identifier::read(scheme, written).unwrap_err();
            (written[mistake.at.clone()].to_string(), mistake.what)
        };
        let both = |shown: &str, what: &str| (shown.to_string(), what.to_string());
        assert_eq!(at(Scheme::Isbn, "978-3-16-148410-1"), both("1", "the check digit of the others is 0"));
        assert_eq!(at(Scheme::Isbn, "977-3-16-148410-3"), both("977-3-16-148410-3", "13 digits that do not start with 978 or 979"));
        assert_eq!(at(Scheme::Issn, "0378-5954"), both("4", "the check digit of the others is 5"));
        assert_eq!(at(Scheme::Issn, "037X-5955"), both("X", "an X before the last place"));
        assert_eq!(at(Scheme::Orcid, "https://orcid.org/0000-0002-1694-2339"), both("9", "the check digit of the others is X"));
        assert_eq!(at(Scheme::Doi, "https://doi.org/10.1000/a b"), both(" ", "a space in a DOI"));
        assert_eq!(at(Scheme::Doi, "doi:10.1000/182."), both(".", "ends with `.`"));
        assert_eq!(at(Scheme::Doi, "11.1000/182"), both("11.1000", "is no prefix of a DOI"));
        assert_eq!(at(Scheme::Pmid, "2188590a"), both("a", "`a` is no digit"));
        assert_eq!(at(Scheme::Pmcid, "PMC01"), both("01", "starts with 0"));
    }

    #[test]
    fn one_publication_is_the_same_in_every_form() {
        let same =
            |scheme, a: &str, b: &str| Identifier::read(scheme, a).unwrap().sameness() == Identifier::read(scheme, b).unwrap().sameness();
        assert!(same(Scheme::Isbn, "0-306-40615-2", "978-0-306-40615-7"));
        assert!(same(Scheme::Doi, "10.1000/ABC", "https://doi.org/10.1000/abc"));
        assert!(!same(Scheme::Doi, "10.1000/abc", "10.1000/abd"));
    }

    proptest! {
        #[test]
        fn a_wrong_digit_never_passes(which in 0_usize..9, place in 0_usize..16, by in 1_u32..10) {
            let (scheme, written, plain) = RIGHT[which];
            let digits: Vec<usize> = plain.char_indices().filter(|(_, c)| c.is_ascii_digit()).map(|(i, _)| i).collect();
            let at = digits[place % digits.len()];
            let old = plain[at..=at].parse::<u32>().unwrap();
            let mut changed = plain.to_string();
            changed.replace_range(at..=at, &((old + by) % 10).to_string());
            prop_assert!(Identifier::read(scheme, &changed).is_err(), "{} became {}", written, changed);
        }

        #[test]
        fn nothing_that_is_written_breaks_the_reader(text in "\\PC{0,24}") {
            for scheme in Scheme::OF_PUBLICATIONS.into_iter().chain([Scheme::Orcid]) {
                if let Err(mistake) = Identifier::read(scheme, &text) {
                    prop_assert!(text.get(mistake.at).is_some());
                }
            }
        }
    }
}
