//! The look of every page to read: one style sheet, one heading, one footer.
//!
//! A page is self-contained HTML: it opens from a USB stick, prints on plain paper, and asks nothing of the network.
//! What it says is the business of the crate that makes it; this one knows no furniture.

use maud::{DOCTYPE, Markup, PreEscaped, html};

const STYLE: &str = include_str!("style.css");

/// A whole page: title, the particulars that stand under it (name and value; an empty value is left out), and a body.
pub fn page(title: &str, particulars: &[(&str, &str)], body: &Markup) -> String {
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (title) }
                style { (PreEscaped(STYLE)) }
            }
            body {
                h1 { (title) }
                p.particulars {
                    @for (name, value) in particulars.iter().filter(|(_, value)| !value.is_empty()) {
                        span { small { (name) } (value) }
                    }
                }
                (body)
                footer { "Check every figure against the drawings before wood is cut. Local codes and licensed practice come first." }
            }
        }
    }
    .into_string()
        + "\n"
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_people_type_is_escaped_and_empty_particulars_are_left_out() {
        let out = page("Case <1>", &[("For", "Rose & Son"), ("Date", "")], &html! { p { "a < b" } });
        assert!(out.starts_with("<!DOCTYPE html>"));
        assert!(out.contains("<h1>Case &lt;1&gt;</h1>"));
        assert!(out.contains("Rose &amp; Son") && out.contains("a &lt; b"));
        assert!(!out.contains("Date"));
    }
}
