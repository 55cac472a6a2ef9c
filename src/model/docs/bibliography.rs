//! What identifies a publication, in the terms of CSL-JSON.

use crate::model::identifier::{Identifier, Scheme};
use crate::source::{Spanned, Text};

/// The bibliographic part of a source.
#[derive(Clone, Debug)]
pub struct Bibliography {
    /// Title.
    pub title: Text,
    /// Kind of publication.
    pub kind: PublicationType,
    /// Authors.
    pub author: Names,
    /// Editors.
    pub editor: Names,
    /// Date of publication.
    pub issued: Option<Spanned<Issued>>,
    /// Letter that an author gave to the year, where author and year alone would read alike.
    pub letter: Option<Spanned<char>>,
    /// What it appeared in and how: what was given, in the order of [`Part::ALL`].
    pub parts: Vec<(Part, Text)>,
    /// Identifiers, in the order of [`Scheme::OF_PUBLICATIONS`].
    pub identifiers: Vec<Spanned<Identifier>>,
    /// Address.
    pub url: Option<Text>,
    /// What an import brought along and no key of a source holds.
    pub original: Option<Original>,
}

impl Bibliography {
    /// A part by name.
    pub fn part(&self, part: Part) -> Option<&Text> {
        self.parts.iter().find(|(p, _)| *p == part).map(|(_, text)| text)
    }

    /// The identifier of a scheme.
    pub fn identifier(&self, scheme: Scheme) -> Option<&Spanned<Identifier>> {
        self.identifiers.iter().find(|i| i.value.scheme() == scheme)
    }

    /// Year of publication.
    pub fn year(&self) -> Option<i64> {
        self.issued.as_ref().map(|i| i64::from(i.value.year))
    }

    /// Those who answer for it: the authors, or the editors of a work without authors.
    pub fn makers(&self) -> &Names {
        if self.author.people.is_empty() { &self.editor } else { &self.author }
    }
}

/// A list of people and bodies.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Names {
    /// Those who are named.
    pub people: Vec<Name>,
    /// True if the list goes on; written `{literal: others}` at its end.
    pub others: bool,
}

/// The word that stands at the end of a list for those who are not named.
pub const OTHERS: &str = "others";

/// A person or a body.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Name {
    /// A person.
    Person {
        /// Family name.
        family: Text,
        /// Given names or initials.
        given: Option<Text>,
        /// Particle that is kept when the given name is not, as in `de Winter`.
        particle: Option<Text>,
        /// Jr, III.
        suffix: Option<Text>,
        /// Number of the contributor.
        orcid: Option<Spanned<Identifier>>,
    },
    /// A body, or a name that is not taken apart.
    Body(Text),
}

impl Name {
    /// Family name with its particle, or the body.
    pub fn short(&self) -> String {
        match self {
            Name::Person { family, particle: Some(particle), .. } => format!("{} {}", particle.value, family.value),
            Name::Person { family, .. } => family.value.to_string(),
            Name::Body(body) => body.value.to_string(),
        }
    }
}

/// A date of publication, as exact as it is printed.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Issued {
    /// Year.
    pub year: i16,
    /// Month.
    pub month: Option<i8>,
    /// Day.
    pub day: Option<i8>,
}

impl Issued {
    /// Reads `2022`, `2022-03` or `2022-03-15`.
    pub fn read(written: &str) -> Option<Issued> {
        let parts: Vec<&str> = written.split('-').collect();
        let number = |i: usize, digits: usize| parts.get(i).filter(|p| p.len() == digits && p.bytes().all(|b| b.is_ascii_digit()));
        let year = number(0, 4)?.parse().ok()?;
        match parts.len() {
            1 => Some(Issued { year, month: None, day: None }),
            2 => {
                let month = number(1, 2)?.parse().ok()?;
                jiff::civil::Date::new(year, month, 1).ok().map(|_| Issued { year, month: Some(month), day: None })
            }
            3 => {
                let (month, day) = (number(1, 2)?.parse().ok()?, number(2, 2)?.parse().ok()?);
                jiff::civil::Date::new(year, month, day).ok().map(|_| Issued { year, month: Some(month), day: Some(day) })
            }
            _ => None,
        }
    }
}

impl std::fmt::Display for Issued {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{:04}", self.year)?;
        self.month.map_or(Ok(()), |m| write!(f, "-{m:02}"))?;
        self.day.map_or(Ok(()), |d| write!(f, "-{d:02}"))
    }
}

macro_rules! words {
    ($(#[$about:meta])* $name:ident { $($(#[$doc:meta])* $variant:ident = $word:literal,)* }) => {
        $(#[$about])*
        #[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
        pub enum $name { $($(#[$doc])* $variant,)* }

        impl $name {
            /// All of them.
            pub const ALL: &[$name] = &[$($name::$variant,)*];

            /// The word in packs and in CSL-JSON.
            pub fn word(self) -> &'static str {
                match self { $($name::$variant => $word,)* }
            }

            /// Reads a word.
            pub fn from_word(word: &str) -> Option<$name> {
                Self::ALL.iter().copied().find(|w| w.word() == word)
            }
        }
    };
}

words! {
    /// Kind of publication, by the words of CSL.
    PublicationType {
        /// Preprint or article outside a journal.
        Article = "article",
        /// Article in a journal.
        ArticleJournal = "article-journal",
        /// Book.
        Book = "book",
        /// Chapter of a book.
        Chapter = "chapter",
        /// Data set.
        Dataset = "dataset",
        /// Anything else.
        Document = "document",
        /// Paper of a conference.
        PaperConference = "paper-conference",
        /// Report.
        Report = "report",
        /// Software.
        Software = "software",
        /// Standard.
        Standard = "standard",
        /// Thesis.
        Thesis = "thesis",
        /// Page of the web.
        Webpage = "webpage",
    }
}

words! {
    /// Parts of an imprint, by the words of CSL.
    Part {
        /// Journal or book.
        ContainerTitle = "container-title",
        /// Volume.
        Volume = "volume",
        /// Issue.
        Issue = "issue",
        /// Pages, or the number of the article.
        Page = "page",
        /// Publisher.
        Publisher = "publisher",
        /// Place of the publisher.
        PublisherPlace = "publisher-place",
        /// Edition.
        Edition = "edition",
    }
}

words! {
    /// Where an entry was imported from.
    Form {
        /// BibTeX.
        Bibtex = "bibtex",
        /// RIS.
        Ris = "ris",
        /// CSL-JSON.
        Csl = "csl",
    }
}

/// Fields of an imported entry that no key of a source holds.
#[derive(Clone, Debug)]
pub struct Original {
    /// Form of the import, which says what the names of the fields mean.
    pub form: Form,
    /// Fields as they were written; structured values are JSON.
    pub fields: Vec<(Text, Text)>,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_are_as_exact_as_they_are_written() {
        for written in ["1918", "2022-03", "2024-02-29"] {
            assert_eq!(Issued::read(written).map(|i| i.to_string()).as_deref(), Some(written));
        }
        for wrong in ["", "22", "2022-3", "2022-13", "2023-02-29", "2022-03-15-1", "-200", "2022-+1", "+022"] {
            assert_eq!(Issued::read(wrong), None, "{wrong}");
        }
    }
}
