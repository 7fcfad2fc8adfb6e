//! An order file: a customer's sizes and choices over a design, and the particulars that drawings and lists print.

use std::collections::BTreeSet;
use std::sync::Arc;

use fault::{Fault, Faults, Source, Value as Held, tick};
use measure::{Length, Ruler, Unit};

use crate::climate::{Climate, ClimateKeys, Loads};
use crate::field::{Context, Field, Keys, Map, Missing, Placed, Text, read_table};
use crate::formula::{Formula, Scope};
use crate::shape::Shape;
use crate::table::{choice, table};

choice! {
    /// Sheets of ISO 216 and ASME Y14.1.
    pub enum Sheet {
        /// 210 × 297 mm, upright.
        A4 = "A4",
        /// 420 × 297 mm.
        A3 = "A3",
        /// 594 × 420 mm.
        A2 = "A2",
        /// 841 × 594 mm.
        A1 = "A1",
        /// 8 1/2 × 11 in, upright.
        A = "A",
        /// 17 × 11 in.
        B = "B",
        /// 22 × 17 in.
        C = "C",
        /// 34 × 22 in.
        D = "D",
    }
}

choice! {
    /// Where the plan and the end view stand about the front view.
    pub enum Projection {
        /// Plan below, right end to the left.
        First = "first",
        /// Plan above, right end to the right.
        Third = "third",
    }
}

choice! {
    /// Edges that something nearer hides.
    pub enum HiddenLines {
        /// Dashed where they tell what no other line of the view does: on part sheets the mortises, grooves and the like
        /// of other faces, on the general arrangement shelves and bottom behind the doors and posts under the top.
        Dashed = "dashed",
        /// Left out.
        None = "none",
    }
}

table! {
    /// An order over a design.
    pub(crate) struct OrderKeys {
        /// The name of a built-in design, or the path of a design file of one's own, seen from the order's folder.
        pub design: Placed<String>,
        /// The order's number.
        pub number: String = "not given",
        /// For whom the piece is made.
        pub customer: String = "not given",
        /// The shop that makes it.
        pub maker: String = "not given",
        /// Date of issue.
        pub date: Option<Date>,
        /// What was changed since the first issue, each a table `[[revisions]]`, the oldest first; the last is named in every
        /// title block.
        pub revisions: Option<Vec<RevisionKeys>>,
        /// The unit that people read.
        pub unit: Unit = "in",
        /// The finest division that the shop marks out: `1/64 in`, `1/32 in` or `1/16 in`; `0.1 mm`, `0.5 mm` or `1 mm`.
        /// If it is not said, `1/32 in` or `0.5 mm`.
        pub ruler: Option<Placed<Length>>,
        /// The drawings' paper.
        pub paper: PaperKeys,
        /// The shop's files.
        pub shop: ShopKeys,
        /// Where the piece is made and where it will stand.
        pub climate: ClimateKeys,
        /// What its shelves will carry.
        pub load: Loads,
        /// What differs from the design's defaults, under the parameters' names.
        pub parameters: Map<Text>,
    }
}

table! {
    /// A change of an order that was issued before.
    pub(crate) struct RevisionKeys {
        /// What it is called: `A`, or `2`.
        pub number: Placed<String>,
        /// The day on which it was issued.
        pub date: Placed<Date>,
        /// What was changed, in a few words.
        pub change: String,
    }
}

table! {
    /// The drawings' paper.
    pub(crate) struct PaperKeys {
        /// The sheet; if it is not said, `B` for inches and `A3` for millimetres.
        pub sheet: Option<Sheet>,
        /// Where the views stand; if it is not said, `third` for inches and `first` for millimetres.
        pub projection: Option<Projection>,
        /// What becomes of hidden edges.
        pub hidden_lines: HiddenLines = "dashed",
    }
}

table! {
    /// The shop's machine, tools, woods and stock, as files seen from the order's folder.
    pub(crate) struct ShopKeys {
        /// The router: travel, speeds, what its controller understands. A sound default if it is not said.
        pub machine: Option<String>,
        /// The tool table. A sound default if it is not said.
        pub tools: Option<String>,
        /// Woods and sheet goods of one's own, besides those that are built in.
        pub woods: Option<Placed<String>>,
        /// The boards and sheets at hand. If it is not said, all wood is bought.
        pub stock: Option<String>,
    }
}

/// A day, `YYYY-MM-DD`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Date(pub String);

impl Field for Date {
    fn read(node: &Text, cx: &mut Context<'_>) -> Option<Self> {
        let text = match &node.value {
            Held::Date(text) => text,
            Held::Text(formula) => &formula.text,
            _ => {
                node.mismatch(&Self::shape().wanted(), cx.faults);
                return None;
            }
        };
        if is_day(text) {
            return Some(Self(text.clone()));
        }
        let fault = Fault::new(&node.place, format!("{} is not a day", tick(text)));
        cx.faults.push(fault.expected(Self::shape().wanted()));
        None
    }

    fn absent(_: Missing<'_, '_>, _: &mut Context<'_>) -> Option<Self> {
        None
    }

    fn shape() -> Shape {
        Shape::Date
    }
}

/// Whether a text is a day of the calendar, written `YYYY-MM-DD`.
fn is_day(text: &str) -> bool {
    let [year, month, day] = text.split('-').collect::<Vec<_>>()[..] else { return false };
    let number = |t: &str, digits: usize| (t.len() == digits).then(|| t.parse::<u32>().ok()).flatten();
    let (Some(y), Some(m), Some(d)) = (number(year, 4), number(month, 2), number(day, 2)) else { return false };
    let leap = (y % 4 == 0 && y % 100 != 0) || y % 400 == 0;
    let days = match m {
        2 => 28 + u32::from(leap),
        4 | 6 | 9 | 11 => 30,
        1..=12 => 31,
        _ => 0,
    };
    (1..=days).contains(&d)
}

/// The shop's files, as paths seen from the order's folder; sound defaults where there are none.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shop {
    /// The router.
    pub machine: Option<String>,
    /// The tool table.
    pub tools: Option<String>,
    /// Woods of one's own.
    pub woods: Option<String>,
    /// The stock file's path.
    pub stock: Option<String>,
}

/// How the drawings are made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Paper {
    /// Its size.
    pub sheet: Sheet,
    /// Where the views stand.
    pub projection: Projection,
    /// What becomes of hidden edges.
    pub hidden_lines: HiddenLines,
}

/// A change of an order that was issued before.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Revision {
    /// What it is called: `A`, or `2`.
    pub number: String,
    /// The day on which it was issued, `YYYY-MM-DD`.
    pub date: String,
    /// What was changed, in words.
    pub change: String,
}

/// An order's particulars, with what it leaves out filled in.
#[derive(Clone, Debug, PartialEq)]
pub struct OrderInfo {
    /// The order's number.
    pub number: String,
    /// For whom the piece is made.
    pub customer: String,
    /// The shop that makes it.
    pub maker: String,
    /// Date of issue, `YYYY-MM-DD`, or `not given`; never today's.
    pub date: String,
    /// What was changed since, the oldest first.
    pub revisions: Vec<Revision>,
    /// The unit that people read.
    pub unit: Unit,
    /// The finest division that the shop marks out.
    pub ruler: Ruler,
    /// The drawings' paper.
    pub paper: Paper,
    /// The shop's files.
    pub shop: Shop,
    /// The workshop's air and the room's.
    pub climate: Climate,
    /// What the shelves will carry.
    pub loads: Loads,
}

impl OrderKeys {
    /// Reads an order and notes what is wrong with it.
    pub(crate) fn read(source: &Arc<Source>, faults: &mut Faults) -> Option<Self> {
        let root = fault::parse(source, faults).map_text(&mut |text, _| Formula::new(text));
        let order: Self =
            read_table(&root, &[], &mut Context { scope: Scope::EMPTY, faults, root: order_shape, unit: Unit::Inch })?;
        order.check_ruler(faults);
        order.check_revisions(faults);
        order.climate.check(faults);
        Some(order)
    }

    fn check_ruler(&self, faults: &mut Faults) {
        let Some(ruler) = &self.ruler else { return };
        let inches = [64, 32, 16].map(|d| measure::inches(1, d));
        let millimetres = [100, 500, 1000].map(|um| Length::from_nm(um * 1000));
        let (known, other) = match self.unit {
            Unit::Inch => (inches, millimetres),
            Unit::Millimetre => (millimetres, inches),
        };
        // The unit may be at fault itself, so a ruler of the other unit is doubted only where nothing else is.
        let excused = known.contains(&ruler.value) || (other.contains(&ruler.value) && !faults.is_empty());
        if !excused {
            let shown = measure::exact(ruler.value, self.unit);
            let known = known.map(|l| format!("\"{}\"", measure::exact(l, self.unit)));
            let what = format!("no ruler is divided by `{shown}` where the unit is `{}`", self.unit);
            faults.push(Fault::new(&ruler.place, what).expected(fault::or_list(known.iter().map(String::as_str))));
        }
    }

    /// Each has a number of its own, and none was issued before what it changes.
    fn check_revisions(&self, faults: &mut Faults) {
        let mut last = self.date.as_ref();
        let mut numbers = BTreeSet::new();
        for revision in self.revisions.iter().flatten() {
            let RevisionKeys { number, date, .. } = revision;
            if !numbers.insert(number.value.as_str()) {
                let fault = Fault::new(&number.place, format!("a revision before this is {} too", tick(&number.value)));
                faults.push(fault.expected("a number that no other revision has"));
            }
            if let Some(before) = last.filter(|before| date.value.0 < before.0) {
                let fault =
                    Fault::new(&date.place, format!("{} is before the issue that this changes", tick(&date.value.0)));
                faults.push(fault.expected(format!("{} or a later day", tick(&before.0))));
            }
            last = Some(&date.value);
        }
    }

    /// The particulars, with what the order leaves out.
    pub(crate) fn info(&self) -> OrderInfo {
        let (step, sheet, projection) = match self.unit {
            Unit::Inch => (measure::inches(1, 32), Sheet::B, Projection::Third),
            Unit::Millimetre => (Length::from_nm(500_000), Sheet::A3, Projection::First),
        };
        OrderInfo {
            number: self.number.clone(),
            customer: self.customer.clone(),
            maker: self.maker.clone(),
            date: self.date.as_ref().map_or_else(|| String::from("not given"), |d| d.0.clone()),
            revisions: self.revisions.iter().flatten().map(RevisionKeys::revision).collect(),
            unit: self.unit,
            ruler: Ruler { unit: self.unit, step: self.ruler.as_ref().map_or(step, |r| r.value), marks: true },
            paper: Paper {
                sheet: self.paper.sheet.unwrap_or(sheet),
                projection: self.paper.projection.unwrap_or(projection),
                hidden_lines: self.paper.hidden_lines,
            },
            shop: Shop {
                machine: self.shop.machine.clone(),
                tools: self.shop.tools.clone(),
                woods: self.shop.woods.as_ref().map(|w| w.value.clone()),
                stock: self.shop.stock.clone(),
            },
            climate: self.climate.climate(),
            loads: self.load.clone(),
        }
    }
}

impl RevisionKeys {
    fn revision(&self) -> Revision {
        Revision { number: self.number.value.clone(), date: self.date.value.0.clone(), change: self.change.clone() }
    }
}

/// What an order file may hold.
pub(crate) fn order_shape() -> Shape {
    Shape::Table(OrderKeys::table_shape())
}

#[cfg(test)]
mod tests {
    use super::is_day;

    #[test]
    fn days_of_the_calendar() {
        assert!(is_day("2024-02-29") && is_day("2026-12-31"));
        for no in ["2026-02-29", "2026-13-01", "2026-04-31", "26-04-01", "2026-4-1", "2026-04-01T10:00:00", ""] {
            assert!(!is_day(no), "{no}");
        }
    }
}
