//! `fascicle explain`: the page of a check, or the list of all.

use super::{Ended, print};
use crate::checks::{all, named};
use crate::error::ToolError;
use crate::model::nearest;

#[derive(clap::Args)]
pub(super) struct Arguments {
    /// Name of a check, as shown with each finding
    #[arg(value_name = "CHECK")]
    check: Option<String>,
}

pub(super) fn run(arguments: &Arguments) -> Result<Ended, ToolError> {
    let Some(name) = &arguments.check else {
        print(&list());
        return Ok(Ended::Clean);
    };
    let Some(check) = named(name) else {
        let near = nearest(name, all().iter().map(|c| c.name)).map(|n| format!("; did you mean `{n}`?")).unwrap_or_default();
        return Err(ToolError::Usage(format!("there is no check `{name}`{near} `fascicle explain` lists all")));
    };
    print(&format!("{}\n\nLevel: {}\n", check.page.trim_end(), check.level.word()));
    Ok(Ended::Clean)
}

fn list() -> String {
    let width = all().iter().map(|c| c.name.len()).max().unwrap_or(0);
    let mut text = String::new();
    for check in all() {
        text += &format!("{:width$}  {:7}  {}\n", check.name, check.level.word(), check.summary);
    }
    text + &format!("\n{} checks. `fascicle explain NAME` says what one means and how to put it right.\n", all().len())
}
