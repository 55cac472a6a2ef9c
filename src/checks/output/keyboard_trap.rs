//! A control that the keyboard cannot reach, or that takes it away from where it was, as far as the page itself shows it.
//! What scripts do is tried out in a browser.

use super::Output;
use super::tree::{Element, Tree};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "keyboard-trap",
    summary: "a control cannot be reached or left by keyboard in the order of the page",
    level: Level::Error,
    run: Run::Output(run),
    page: include_str!("keyboard_trap.md"),
};

/// Roles of controls.
const ROLES: [&str; 10] = ["button", "link", "checkbox", "radio", "switch", "tab", "menuitem", "textbox", "slider", "spinbutton"];

fn run(case: &Case<'_>, output: &Output<'_>, sink: &mut Sink) {
    output.each(
        case,
        |l| &l.traps,
        |span, path, why| {
            sink.report(span, "shown on this page", format!("{path}: {why}"))
                .help("use the plain control of HTML and leave order and focus to the page");
        },
    );
}

/// Controls that keep the keyboard out, or hold it.
pub(super) fn faults(tree: &Tree) -> Vec<String> {
    let mut out = Vec::new();
    for (at, element) in tree.elements.iter().enumerate() {
        let mut say = |why: &str| out.push(format!("{} {why}", element.shown()));
        let index = element.get("tabindex").map(|t| t.trim().parse::<i32>());
        match index {
            Some(Ok(n)) if n > 0 => say("stands in an order of its own (`tabindex` above 0)"),
            Some(Err(_)) => say("has a `tabindex` that is no number"),
            _ => {}
        }
        if element.get("autofocus").is_some() {
            say("takes the focus when the page opens (`autofocus`)");
        }
        if element.get("inert").is_some() {
            say("is shut for every control in it (`inert`)");
        }
        let native = is_native(element);
        let role = element.get("role").unwrap_or_default();
        if ROLES.contains(&role) && !native && index.is_none() {
            say("acts as a control and has no `tabindex`");
        }
        if native && index == Some(Ok(-1)) && !roves(tree, at) {
            say("is left out of the order of the page (`tabindex` -1)");
        }
        if element.tag == "a" && element.get("href").is_none() && !ROLES.contains(&role) && element.get("id").is_none() {
            say("looks like a link and leads nowhere");
        }
    }
    out
}

fn is_native(element: &Element) -> bool {
    match element.tag.as_str() {
        "a" => element.get("href").is_some(),
        "input" => element.get("type") != Some("hidden"),
        "button" | "select" | "textarea" | "summary" => true,
        _ => false,
    }
}

/// True in a group in which the arrow keys move on from a neighbour that can be reached.
fn roves(tree: &Tree, at: usize) -> bool {
    let group = tree.around(at).find(|(_, e)| matches!(e.get("role"), Some("listbox" | "radiogroup" | "tablist" | "toolbar" | "menu")));
    group.is_some_and(|(i, _)| tree.inside(i).iter().any(|e| e.get("tabindex") == Some("0")))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_keeps_the_keyboard_out_is_found() {
        for bad in [
            "<a href=x tabindex=3>x</a>",
            "<p tabindex=x>x</p>",
            "<input autofocus>",
            "<section inert><a href=x>x</a></section>",
            "<div role=button>x</div>",
            "<a href=x tabindex=-1>x</a>",
            "<a>x</a>",
            "<div role=toolbar><button tabindex=-1>x</button></div>",
        ] {
            assert_eq!(faults(&Tree::read(bad)).len(), 1, "{bad}");
        }
    }

    #[test]
    fn plain_controls_and_roving_groups_are_fine() {
        for fine in [
            "<a href=x>x</a><button>y</button><details><summary>z</summary></details>",
            "<main tabindex=-1></main><div class=scroll tabindex=0></div>",
            "<div role=button tabindex=0>x</div>",
            "<div role=toolbar><button tabindex=0>x</button><button tabindex=-1>y</button></div>",
        ] {
            assert!(faults(&Tree::read(fine)).is_empty(), "{fine}");
        }
    }
}
