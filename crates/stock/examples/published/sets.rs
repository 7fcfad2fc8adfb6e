//! The sets of published instances, in the order of the table, and the time that each instance is given.

/// What is asked of an instance.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Task {
    /// Fewest bars.
    Bars,
    /// Fewest sheets; parts may be turned or not.
    Sheets { turned: bool },
    /// The most value from one sheet.
    Value,
    /// The invented workshop jobs: least area of boards, fewest sheets.
    Workshop,
}

/// One row of the table.
pub(crate) struct Set {
    pub(crate) title: &'static str,
    /// Beginnings of the names of its files.
    pub(crate) files: &'static [&'static str],
    pub(crate) task: Task,
    /// For each instance.
    pub(crate) seconds: f64,
}

const fn set(title: &'static str, files: &'static [&'static str], task: Task, seconds: f64) -> Set {
    Set { title, files, task, seconds }
}

const FIXED: Task = Task::Sheets { turned: false };

pub(crate) const SETS: [Set; 24] = [
    set("bars: Falkenauer, U and T", &["1d_falkenauer"], Task::Bars, 2.0),
    set("bars: Scholl 1, 2, 3", &["1d_scholl"], Task::Bars, 2.0),
    set("bars: Schwerin, Wäscher", &["1d_schwerin", "1d_waescher"], Task::Bars, 2.0),
    set("bars: Hard28", &["1d_hard28"], Task::Bars, 2.0),
    set("bars: AI and ANI", &["1d_ai_ani"], Task::Bars, 2.0),
    set("bars: random (Delorme)", &["1d_delorme"], Task::Bars, 2.0),
    set("sheets, fixed grain: classes 1–10", &["2d_bins_class"], FIXED, 1.0),
    set("sheets, turned: classes 1–10", &["2d_bins_class"], Task::Sheets { turned: true }, 1.0),
    set("sheets: furniture orders (Macedo et al.)", &["2d_bins_macedo"], FIXED, 10.0),
    set("sheets: large repeated orders (Cintra et al.)", &["2d_bins_gcut"], FIXED, 10.0),
    set("one sheet: cgcut", &["2d_value_cgcut"], Task::Value, 1.0),
    set("one sheet: ngcut", &["2d_value_ngcut"], Task::Value, 1.0),
    set("one sheet: okp", &["2d_value_okp"], Task::Value, 1.0),
    set("one sheet: Wang, OF", &["2d_value_wang"], Task::Value, 1.0),
    set("one sheet: gcut, each item once", &["2d_value_gcut_single"], Task::Value, 1.0),
    set("one sheet: gcut, any number", &["2d_value_gcut_unbounded"], Task::Value, 1.0),
    set("one sheet: Hifi and others", &["2d_value_hifi"], Task::Value, 10.0),
    set("one sheet: CU and CW", &["2d_value_cu_cw"], Task::Value, 10.0),
    set("one sheet: APT", &["2d_value_apt"], Task::Value, 10.0),
    set("one sheet: Hopper and Turton", &["2d_value_hopper"], Task::Value, 10.0),
    set("one sheet with defects (Afsharian et al.)", &["2d_value_defects"], Task::Value, 10.0),
    set("workshop: 60 parts, 18 boards, mm²", &["workshop_boards"], Task::Workshop, 10.0),
    set("workshop: 85 parts, sheets", &["workshop_sheets"], Task::Workshop, 1.0),
    set("workshop: other jobs", &["workshop_"], Task::Workshop, 10.0),
];
