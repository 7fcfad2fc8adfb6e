//! Figures finer than the shop's ruler: what moves by less than a division moves all the same.

use case::Case;
use measure::{Length, Unit};

/// A length with its unit, to a thousandth of an inch or a tenth of a millimetre.
pub(crate) fn fine(case: &Case, l: Length) -> String {
    format!("{} {}", bare(case, l), case.order.unit)
}

/// The same without its unit.
pub(crate) fn bare(case: &Case, l: Length) -> String {
    let text = match case.order.unit {
        Unit::Inch => format!("{:.3}", l.inches()),
        Unit::Millimetre => format!("{:.1}", l.mm()),
    };
    // What rounds to nothing has no sign.
    if text.trim_start_matches('-').chars().all(|c| c == '0' || c == '.') {
        return text.trim_start_matches('-').to_owned();
    }
    text
}

/// What came off a formula, in mm.
pub(crate) fn of_mm(case: &Case, mm: f64) -> String {
    bare(case, Length::from_mm(mm))
}

/// A weight in the unit that goes with the order's.
pub(crate) fn weight(case: &Case, kg: f64) -> String {
    match case.order.unit {
        Unit::Inch => format!("{:.1}", kg / 0.453_592_37),
        Unit::Millimetre => format!("{kg:.2}"),
    }
}

/// The unit of weights.
pub(crate) const fn weight_unit(case: &Case) -> &'static str {
    match case.order.unit {
        Unit::Inch => "lb",
        Unit::Millimetre => "kg",
    }
}
