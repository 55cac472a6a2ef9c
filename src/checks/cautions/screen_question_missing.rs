//! A condition that cannot be asked about.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "screen-question-missing",
    summary: "a condition has no plain question to ask",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("screen_question_missing.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for condition in case.catalog.conditions.rows() {
        let name = &condition.name.value;
        match &condition.question {
            None => {
                sink.report(condition.name.span, "a name alone", format!("`{name}` has no question to ask"))
                    .help("add `question:` with words that anybody understands, ending with a question mark");
            }
            Some(question) if !question.value.contains('?') => {
                sink.report(question.span, "no question", format!("the question of `{name}` asks nothing"))
                    .help("write a question that can be answered with yes or no, ending with a question mark");
            }
            Some(_) => {}
        }
    }
}
