//! A page or style sheet that would load something from outside the site.

use super::Output;
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::plan::Shape;

/// The check.
pub static CHECK: Check = Check {
    name: "outside-request",
    summary: "a page would load something from outside the site",
    level: Level::Error,
    run: Run::Output(run),
    page: include_str!("outside_request.md"),
};

fn run(case: &Case<'_>, output: &Output<'_>, sink: &mut Sink) {
    let Some(pack) = case.catalog.packs.rows().first() else { return };
    for file in output.built {
        let loads = match file.shape {
            Shape::Page | Shape::Room | Shape::Card | Shape::Sheet | Shape::Handout => {
                output.pages.get(file.path.as_str()).map(|p| p.loads.clone()).unwrap_or_default()
            }
            Shape::Asset if std::path::Path::new(&file.path).extension().is_some_and(|e| e == "css") => addresses(file.text()),
            _ => continue,
        };
        for address in loads.iter().filter(|a| leaves(a)) {
            let message = format!("{} would load `{address}`", file.path);
            sink.report(pack.head.at, "this pack", message).help("put the file into the site, or do without it");
        }
    }
}

/// Addresses in a style sheet.
fn addresses(css: &str) -> Vec<String> {
    let urls = css.split("url(").skip(1).filter_map(|rest| rest.split(')').next());
    let imports = css.split("@import").skip(1).filter_map(|rest| rest.split(';').next());
    urls.chain(imports).map(|a| a.trim().trim_matches(['"', '\'']).to_string()).collect()
}

/// True for every address that is neither inside the site nor in the page itself.
fn leaves(address: &str) -> bool {
    let scheme = address.split_once(':').map(|(s, _)| s.to_ascii_lowercase());
    address.starts_with("//") || scheme.is_some_and(|s| s != "data" && s.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'+'))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_relative_and_data_addresses_stay_inside() {
        for inside in ["assets/a.css", "../x.svg", "data:image/png;base64,AA", "#a"] {
            assert!(!leaves(inside), "{inside}");
        }
        for outside in ["https://a.example/f.woff2", "//a.example/x", "HTTP://a.example"] {
            assert!(leaves(outside), "{outside}");
        }
        assert_eq!(addresses("a{b:url('x.png')}@import \"y.css\";"), ["x.png", "y.css"]);
    }
}
