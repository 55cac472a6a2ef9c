//! Words in a question that the person asked will not know.

use super::{flag_texts, whole_words};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "flag-words-technical",
    summary: "the question or the presentation of a flag uses technical terms",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("flag_words_technical.md"),
};

const KEYS: [&str; 2] = ["presentation", "question"];

/// Technical terms and plain words for them. Both spellings where there are two.
const TERMS: [(&str, &str); 63] = [
    ("anaesthesia", "numbness"),
    ("anesthesia", "numbness"),
    ("anterior", "front"),
    ("ataxia", "unsteady walk"),
    ("ataxic", "unsteady"),
    ("bilateral", "on both sides"),
    ("cephalgia", "headache"),
    ("cervical", "of the neck"),
    ("claudication", "cramp on walking"),
    ("cyanosis", "blue skin"),
    ("cyanotic", "blue"),
    ("deep vein thrombosis", "clot in a deep vein"),
    ("diaphoresis", "sweating"),
    ("diplopia", "seeing double"),
    ("distal", "further down the limb"),
    ("drop attack", "sudden fall"),
    ("dvt", "clot in a deep vein"),
    ("dysarthria", "trouble speaking"),
    ("dysphagia", "trouble swallowing"),
    ("dyspnea", "shortness of breath"),
    ("dyspnoea", "shortness of breath"),
    ("dysuria", "pain on passing water"),
    ("edema", "swelling"),
    ("embolism", "clot that has travelled"),
    ("erythema", "redness"),
    ("febrile", "with fever"),
    ("haematuria", "blood in the water"),
    ("haemoptysis", "coughing of blood"),
    ("hematuria", "blood in the water"),
    ("hemoptysis", "coughing of blood"),
    ("incontinence", "cannot hold water or stool"),
    ("ischaemia", "lack of blood"),
    ("ischemia", "lack of blood"),
    ("lumbar", "of the low back"),
    ("malaise", "feeling ill"),
    ("malignancy", "cancer"),
    ("micturition", "passing water"),
    ("myelopathy", "trouble of the spinal cord"),
    ("nausea", "feeling sick"),
    ("neurological deficit", "weakness or numbness"),
    ("nocturnal", "at night"),
    ("nystagmus", "jerking eyes"),
    ("oedema", "swelling"),
    ("pallor", "pale skin"),
    ("palpation", "touch"),
    ("paraesthesia", "tingling"),
    ("paresis", "weakness"),
    ("paresthesia", "tingling"),
    ("posterior", "back"),
    ("proximal", "nearer the trunk"),
    ("ptosis", "drooping eyelid"),
    ("pyrexia", "fever"),
    ("radiculopathy", "trouble of a nerve root"),
    ("saddle anaesthesia", "numb between the legs"),
    ("saddle anesthesia", "numb between the legs"),
    ("syncope", "fainting"),
    ("tachycardia", "fast pulse"),
    ("thoracic", "of the chest"),
    ("thrombosis", "clot"),
    ("trauma", "injury"),
    ("unilateral", "on one side"),
    ("urinary retention", "cannot pass water"),
    ("vertigo", "spinning"),
];

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (flag, wording) in flag_texts(case, &KEYS) {
        let lower = wording.text.value.to_ascii_lowercase();
        let mut found: Vec<_> = TERMS.iter().flat_map(|(term, plain)| whole_words(&lower, term).map(move |r| (r, *plain))).collect();
        // Of two terms that begin or end together the longer one is meant.
        let all: Vec<_> = found.iter().map(|(r, _)| r.clone()).collect();
        found.retain(|(r, _)| !all.iter().any(|o| o != r && o.start <= r.start && r.end <= o.end));
        found.sort_by_key(|(r, _)| r.start);
        for (range, plain) in found {
            let word = wording.text.value.get(range.clone()).unwrap_or_default();
            let message = format!("the {} of `{}` says `{word}`, which few people know", wording.key, flag.name.value);
            sink.report(wording.span_of(range), "a technical term", message).help(format!("say it in plain words, for instance `{plain}`"));
        }
    }
}
