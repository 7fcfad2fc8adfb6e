//! The built-in designs and the demo order, as texts.

/// Name and text of each built-in design; the demo's is the first.
pub const DESIGNS: [(&str, &str); 3] = [
    ("glazed-case", include_str!("../../../templates/glazed-case.toml")),
    ("open-shelves", include_str!("../../../templates/open-shelves.toml")),
    ("low-cupboard", include_str!("../../../templates/low-cupboard.toml")),
];

/// The demo order.
pub const DEMO_ORDER: &str = include_str!("../../../templates/orders/demo.toml");

/// The text of a built-in design.
pub fn design(name: &str) -> Option<&'static str> {
    DESIGNS.iter().find(|(known, _)| *known == name).map(|(_, text)| *text)
}
