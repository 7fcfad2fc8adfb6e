//! The solved model as other programs read it: sizes that add up, joints that name their parts, likes that are alike.

use serde_json::Value;

use crate::run::{Room, designs};

/// Sizes to build each design in: settings, and the order's unit.
const SIZES: [(&str, [&str; 3]); 6] = [
    ("in", ["width=30 in", "depth=13 5/8 in", "height=40 in"]),
    ("in", ["width=36 1/64 in", "depth=14 in", "height=44 7/8 in"]),
    ("in", ["width=47 in", "depth=17 3/32 in", "height=48 in"]),
    ("mm", ["width=760 mm", "depth=330.5 mm", "height=1000 mm"]),
    ("mm", ["width=913.001 mm", "depth=410 mm", "height=1111.1 mm"]),
    ("mm", ["width=1200 mm", "depth=450 mm", "height=1219 mm"]),
];

pub(crate) fn solve(room: &Room, design: &str, unit: &str, settings: &[&str]) -> Value {
    room.write("order.toml", &format!("design = \"{design}\"\nunit = \"{unit}\"\n"));
    let mut args = vec!["solve", "order.toml"];
    args.extend(settings.iter().flat_map(|setting| ["--set", *setting]));
    serde_json::from_str(&room.well(&args).out).unwrap()
}

/// Whole nanometres.
fn nm(value: &Value) -> i64 {
    let mm = value.as_f64().unwrap();
    let nm = (mm * 1e6).round();
    assert!((nm / 1e6 - mm).abs() < 1e-9, "{mm} mm is not whole in nanometres");
    #[expect(clippy::cast_possible_truncation, reason = "a piece of furniture is less than 9 000 km long")]
    let whole = nm as i64;
    whole
}

/// Least and greatest case coordinates of a part's blank, in nanometres.
fn bounds(part: &Value) -> [[i64; 2]; 3] {
    let (origin, axes) = (&part["placement"]["origin"], &part["placement"]["axes"]);
    std::array::from_fn(|k| {
        let along = (0..3).map(|i| nm(&part["size"][i]) * axes[i][k].as_i64().unwrap()).sum::<i64>();
        let from = nm(&origin[k]);
        [from.min(from + along), from.max(from + along)]
    })
}

#[test]
fn the_union_of_the_placed_parts_measures_what_was_ordered_to_the_nanometre() {
    let room = Room::new();
    for design in designs() {
        for (unit, settings) in SIZES {
            let model = solve(&room, &design, unit, &settings);
            let parts = model["parts"].as_array().unwrap();
            let all: Vec<_> = parts.iter().map(bounds).collect();
            let ordered = ["width", "depth", "height"];
            for k in 0..3 {
                let low = all.iter().map(|b| b[k][0]).min().unwrap();
                let high = all.iter().map(|b| b[k][1]).max().unwrap();
                assert_eq!(high - low, nm(&model["size"][ordered[k]]), "{design}, {settings:?}, axis {k}");
                // The origin is the foot of the front left post; only the top overhangs it.
                assert!(low <= 0 && (k < 2 || low == 0), "{design}: the piece stands at {low} nm");
            }
            let (_, width) = settings[0].split_once('=').unwrap();
            let asked = match (width.split_once(' ').unwrap(), unit) {
                ((mm, "mm"), _) => nm(&mm.parse::<f64>().unwrap().into()),
                ((whole, "in"), _) => whole.parse::<i64>().unwrap() * 25_400_000,
                // 36 1/64 in
                _ => 36 * 25_400_000 + 396_875,
            };
            assert_eq!(nm(&model["size"]["width"]), asked);
        }
    }
}

#[test]
fn every_number_of_lights_from_one_to_four_by_five_is_glazed() {
    let room = Room::new();
    for rows in 1..=4 {
        for columns in 1..=5 {
            let lights = [format!("light_rows={rows}"), format!("light_columns={columns}")];
            let sizes = ["width=60 in", "height=70 in", lights[0].as_str(), lights[1].as_str()];
            let model = solve(&room, "glazed-case", "in", &sizes);
            assert_eq!(model["panes"].as_array().unwrap().len(), 2 * rows * columns, "{rows} × {columns}");
        }
    }
}

#[test]
fn a_part_that_is_said_to_be_like_another_has_its_size_material_and_cuts() {
    let room = Room::new();
    for design in designs() {
        let model = solve(&room, &design, "in", &[]);
        let parts = model["parts"].as_array().unwrap();
        let mut likes = 0;
        for part in parts.iter().filter(|part| part.get("same_as").is_some()) {
            let first = parts.iter().find(|other| other["id"] == part["same_as"]["part"]).unwrap();
            for key in ["size", "material", "edges"] {
                assert!(
                    key == "edges" || part[key] == first[key],
                    "{design}: {} is not like {}",
                    part["id"],
                    first["id"]
                );
                assert_eq!(part[key].as_array().map(Vec::len), first[key].as_array().map(Vec::len));
            }
            let purposes = |part: &Value| {
                let cuts = part["cuts"].as_array().unwrap();
                let mut purposes: Vec<_> = cuts.iter().map(|cut| cut["purpose"].to_string()).collect();
                purposes.sort();
                purposes
            };
            assert_eq!(purposes(part), purposes(first));
            likes += 1;
        }
        assert!(likes > 10, "{design}: a case has left and right");
    }
}

#[test]
fn an_order_in_millimetres_and_the_same_in_inches_are_one_piece() {
    let room = Room::new();
    let settings = ["width=1016 mm", "depth=15 in", "height=1524 mm"];
    let geometry = |unit| {
        let model = solve(&room, "glazed-case", unit, &settings);
        ["size", "parts", "joints", "panes"].map(|key| model[key].clone())
    };
    assert_eq!(geometry("in"), geometry("mm"));
}

#[test]
fn the_page_on_the_model_names_every_purpose_and_kind() {
    let page = include_str!("../docs/model.md");
    let room = Room::new();
    for design in designs() {
        let model = solve(&room, &design, "in", &[]);
        let cuts = model["parts"].as_array().unwrap().iter().flat_map(|part| part["cuts"].as_array().unwrap());
        let joints = model["joints"].as_array().unwrap().iter();
        for word in cuts.map(|cut| &cut["purpose"]).chain(joints.map(|joint| &joint["kind"])) {
            assert!(page.contains(&format!("`{}`", word.as_str().unwrap())), "{word} is not in docs/model.md");
        }
    }
}
