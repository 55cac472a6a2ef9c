//! Syllables and grades against published tables.

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test fails by panicking")]

mod common;
use common::root;
use fascicle::compute::readability::{Counts, syllables};

/// The CMU Pronouncing Dictionary; its licence and the way of picking stand in the file.
#[test]
fn syllables_are_those_of_a_pronouncing_dictionary() {
    let text = std::fs::read_to_string(root().join("tests/reference/wording/syllables.txt")).unwrap();
    let (mut all, mut right, mut counted, mut wanted) = (0_u32, 0_u32, 0_u32, 0_u32);
    let mut wrong = Vec::new();
    for line in text.lines().filter(|l| !l.starts_with('#')) {
        let (word, counts) = line.split_once(' ').unwrap();
        let known: Vec<u32> = counts.split(' ').map(|n| n.parse().unwrap()).collect();
        let ours = syllables(word);
        let nearest = known.iter().copied().min_by_key(|k| k.abs_diff(ours)).unwrap();
        (all, right, counted, wanted) = (all + 1, right + u32::from(nearest == ours), counted + ours, wanted + nearest);
        if nearest != ours {
            wrong.push(format!("{word}: {ours}, not {nearest}"));
        }
    }
    assert!(all >= 500, "only {all} words");
    assert!(f64::from(right) >= 0.97 * f64::from(all), "{right} of {all} are right: {wrong:?}");
    // Slips of both kinds cancel, so that the grade of a text has no lean.
    assert!(f64::from(counted.abs_diff(wanted)) <= 0.01 * f64::from(wanted), "{counted} syllables, not {wanted}");
}

/// A worked sentence that circulates with the formula: 13 words, 24 syllables, grade 11.3 (encyclopedia article
/// "Flesch-Kincaid readability tests", read as a copy). The formula: Kincaid and others, Research Branch Report 8-75, 1975.
#[test]
fn the_grade_is_that_of_the_formula() {
    let counts = Counts { sentences: 1, words: 13, syllables: 24 };
    assert!((counts.grade().unwrap() - 11.3).abs() < 0.05);
    assert_eq!(Counts::default().grade(), None);
    assert_eq!(Counts::of_sentence(["Hold", "it", "steady"].into_iter()), Counts { sentences: 1, words: 3, syllables: 4 });
    let two = counts.plus(Counts::of_sentence(["Stop"].into_iter()));
    assert!(two.grade().unwrap() < counts.grade().unwrap());
    assert_eq!(two.without(counts), Counts { sentences: 1, words: 1, syllables: 1 });
}
