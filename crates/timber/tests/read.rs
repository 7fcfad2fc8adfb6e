//! The file of woods: what is built in is sound, one's own wins, and every fault comes out with its place.

use fault::{Faults, Source};
use timber::{Sawn, Woods};

fn read(text: &str) -> Result<Woods, Faults> {
    Woods::read(&Source::new("woods.toml", text))
}

#[test]
fn what_is_built_in_is_sound_and_says_its_source() {
    let woods = read(include_str!("../src/woods.toml")).expect("no faults");
    let built_in = Woods::built_in();
    assert_eq!(woods.species.len(), built_in.species.len() * 2, "a file of one's own adds to what is built in");
    assert!(built_in.species.len() >= 30 && built_in.sheets.len() >= 6);
    assert!(built_in.species.iter().all(|s| !s.source.is_empty() && s.shrinkage[0] < s.shrinkage[1]));
    for name in ["White Oak", "cherry", "walnut", "black walnut", "hard maple"] {
        assert!(built_in.species(name).is_some(), "{name}");
    }
    assert!(built_in.sheet("birch plywood").is_some());
    assert_eq!(built_in.nearest("wite oak"), Some("white oak"));
}

#[test]
fn one_s_own_wins_and_needs_no_coefficients() {
    let woods = read(
        "[[species]]\nname = \"cherry\"\ngravity_green = 0.5\nmodulus = 10\nrupture = 80\nshrinkage = [4, 8.0, 12]\n\
         [[sheet]]\nname = \"bench ply\"\ndensity = 600\nmodulus = 8\nrupture = 40\n",
    )
    .expect("no faults");
    let cherry = woods.species("Cherry").expect("there");
    // 8 / (3000 - 160), and 0.5 / (1 - 0.12 × 18/30).
    assert!((cherry.change(Sawn::Flat, 8.0, 9.0) - 8.0 / 2840.0).abs() < 1e-12);
    assert!((cherry.gravity - 0.5 / 0.928).abs() < 1e-12);
    assert!((woods.sheet("bench ply").expect("there").creep - 2.0).abs() < f64::EPSILON);
}

#[test]
fn every_fault_is_told_with_its_place() {
    let faults = read(
        "[[species]]\nname = \"a\"\ngravity = 7\nmodulus = \"12\"\nrupture = 80\nshrinkage = [4, 8]\n\
         [[species]]\nnmae = \"b\"\nmodulus = 10\nrupture = 80\nshrinkage = [4, 8, 12]\ngravity = 0.5\n\
         [[sheet]]\nname = \"c\"\ndensity = 600\nmodulus = 8\nrupture = 40\n\
         [[sheet]]\nname = \"C\"\ndensity = 600\nmodulus = 8\nrupture = 40\n[oak]\n",
    )
    .expect_err("faults");
    let told = faults.to_string();
    let wanted = [
        "woods.toml:3:11: no wood has such a figure; expected a number from 0.05 to 1.5",
        "woods.toml:4:11: this is a text; expected a number",
        "woods.toml:6:13: this lists 2; expected a list of 3 numbers",
        "woods.toml:8:1: unknown key `nmae` in `[species 2]`; mend: write `name`",
        "`name` is missing in `[species 2]`",
        "`c` is named twice in this file; mend: keep one of the two",
        "woods.toml:23:2: unknown key `oak` in the file",
    ];
    for line in wanted {
        assert!(told.contains(line), "{line}\nis not in\n{told}");
    }
    assert_eq!(faults.len(), wanted.len(), "{told}");
}
