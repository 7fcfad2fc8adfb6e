//! The handbook's tables and worked examples, and what follows from them by pencil.
//!
//! "Wood Handbook" is USDA Forest Products Laboratory, FPL-GTR-190 (2010).

use proptest::prelude::*;
use timber::beam::{CREEP, Loading, Section, Strip, TRUE_MODULUS};
use timber::{Air, Sawn, Species, Woods};

#[track_caller]
fn near(found: f64, wanted: f64, within: f64) {
    assert!((found - wanted).abs() <= within, "{found}, and {wanted} was wanted");
}

fn species(name: &str) -> &'static Species {
    Woods::built_in().species(name).unwrap_or_else(|| panic!("no {name}"))
}

/// Wood Handbook, table 4-2: temperature in °F, relative humidity and moisture content in percent. The table is the
/// equation rounded to a tenth.
const EQUILIBRIUM: [[f64; 3]; 16] = [
    [30.0, 50.0, 9.5],
    [40.0, 30.0, 6.3],
    [50.0, 65.0, 12.3],
    [60.0, 45.0, 8.6],
    [70.0, 25.0, 5.4],
    [70.0, 30.0, 6.2],
    [70.0, 50.0, 9.2],
    [70.0, 65.0, 12.0],
    [70.0, 80.0, 16.0],
    [80.0, 40.0, 7.6],
    [80.0, 55.0, 9.9],
    [90.0, 60.0, 10.5],
    [100.0, 35.0, 6.5],
    [110.0, 75.0, 13.2],
    [120.0, 50.0, 8.2],
    [140.0, 55.0, 8.4],
];

#[test]
fn moisture_is_that_of_the_handbook_s_table() {
    for [fahrenheit, humidity, moisture] in EQUILIBRIUM {
        let air = Air { celsius: (fahrenheit - 32.0) / 1.8, humidity };
        near(air.moisture(), moisture, 0.07);
    }
}

/// Wood Handbook, chapter 13, the worked example: a white fir board of 232 mm, flat-grained, from 8 to 11 %,
/// tangential coefficient 0.00245: 1.7 mm, and 233.7 mm after it; 9.15 in and 9.217 in.
#[test]
fn a_board_moves_as_in_the_handbook_s_example() {
    let fir = Species { coefficients: [0.00112, 0.00245], ..species("Douglas fir").clone() };
    let change = fir.change(Sawn::Flat, 8.0, 11.0);
    near(232.0 * change, 1.7, 0.05);
    near(232.0 * (1.0 + change), 233.7, 0.05);
    near(9.15 * (1.0 + change), 9.217, 0.0005);
}

/// By the coefficients of table 13-5, worked out by hand: width × C × difference.
#[test]
fn movement_by_the_coefficient() {
    let moved = |wood, sawn, width: f64, from, to| species(wood).change(sawn, from, to) * width;
    // 300 × 0.00274 × 4
    near(moved("black walnut", Sawn::Flat, 300.0, 8.0, 12.0), 3.288, 1e-9);
    // 36 × 0.00369 × 6
    near(moved("red oak", Sawn::Flat, 36.0, 6.0, 12.0), 0.79704, 1e-9);
    // 150 × 0.00126 × -4
    near(moved("cherry", Sawn::Quarter, 150.0, 11.0, 7.0), -0.756, 1e-9);
    // A flat-sawn board's thickness lies along the rays.
    near(species("cherry").change_of_thickness(Sawn::Flat, 11.0, 7.0) * 150.0, -0.756, 1e-9);
}

/// Outside 6 to 14 % by the total shrinkage of table 4-3 (eq. 13-3, its form from memory): 24 × -3 / (3000/11.9 - 30 + 8)
/// and 250 × -22 / (3000/7.1 - 30 + 30).
#[test]
fn movement_by_the_total_shrinkage() {
    near(species("beech").change(Sawn::Flat, 8.0, 5.0) * 24.0, -0.312_906, 1e-6);
    near(species("cherry").change(Sawn::Flat, 30.0, 8.0) * 250.0, -13.016_667, 1e-6);
    near(species("black walnut").change(Sawn::Quarter, 30.0, 10.0) * 200.0, -7.333_333, 1e-6);
}

/// The coefficients of table 13-5 follow from the shrinkage of table 4-3 as S/(3000 - 20 S), but for groups of species
/// and for old figures.
#[test]
fn coefficients_agree_with_shrinkage() {
    let apart = ["white oak", "red oak", "hickory", "western red cedar", "mahogany", "African mahogany", "teak"];
    let mut agreeing = 0;
    for wood in &Woods::built_in().species {
        let worked = [0, 1].map(|i| wood.shrinkage[i] / (3000.0 - 20.0 * wood.shrinkage[i]));
        let agrees = (0..2).all(|i| (worked[i] - wood.coefficients[i]).abs() < 4e-5);
        assert!(agrees || apart.contains(&wood.name.as_str()), "{}: {worked:?}", wood.name);
        agreeing += usize::from(agrees);
    }
    assert!(agreeing > 20);
}

/// Wood Handbook, eq. 4-12: black walnut of specific gravity 0.55 weighs 616 kg/m³ at 12 %, white oak of 0.68 761.6.
#[test]
fn density_counts_the_water() {
    near(species("black walnut").density(12.0), 616.0, 1e-9);
    near(species("white oak").density(12.0), 761.6, 1e-9);
    // Ovendry it has shrunk: 0.55 × (1 - 0.128 × 18/30) / (1 - 0.128) = 0.5823.
    near(species("black walnut").density(0.0), 582.3, 0.1);
}

/// Pencil work on eq. 9-2 and 9-3. Black walnut, 900 × 250 × 19 mm, 200 N: I = 250 × 19³/12 = 142 896 mm⁴;
/// 5/384 × 200 × 900³/(11 583 × 142 896) = 1.147 mm, twice that in years.
#[test]
fn shelves_bend_as_reckoned_by_hand() {
    let shelf = Section::rectangle(250.0, 19.0, 11.5832).stiffness();
    let first = Loading::Even.deflection(200.0, 900.0, shelf);
    near(first, 1.146_96, 1e-4);
    near(first * CREEP, 2.293_92, 2e-4);
    near(Loading::Centre.deflection(100.0, 900.0, shelf), 0.917_57, 1e-4);
    near(Loading::EvenClamped.deflection(200.0, 900.0, shelf), 0.229_39, 1e-4);
    // Particleboard of the lowest stiffness in table 12-1, 800 × 300 × 18 mm, 150 N.
    near(Loading::Even.deflection(150.0, 800.0, Section::rectangle(300.0, 18.0, 2.76).stiffness()), 2.485, 1e-3);
    // Cherry, 600 × 300 × 25 mm, 600 N, with a true modulus and a shear term; G = E/16 is from memory.
    let e = 10.273_2 * TRUE_MODULUS;
    let bent = Loading::Even.deflection(600.0, 600.0, Section::rectangle(300.0, 25.0, e).stiffness());
    near(bent + Loading::Even.shear(600.0, 600.0, e * 1000.0 / 16.0, 300.0 * 25.0), 0.392_48, 1e-4);
}

/// Architectural Woodwork Standards (2009), section 10: longest adjustable shelf, 3/4 in, at L/144 under 40 and
/// 50 lb/ft². Plywood of 950 000 psi 40 and 37 in, of 1 800 000 psi 49 and 46 in, red oak of 1 820 000 psi 49 and 46 in.
#[test]
fn spans_are_those_of_the_woodwork_standard() {
    const GPA_PER_PSI: f64 = 6.894_757e-6;
    for (psi, load, inches) in
        [(950e3, 40.0, 40.0), (950e3, 50.0, 37.0), (1.8e6, 40.0, 49.0), (1.8e6, 50.0, 46.0), (1.82e6, 40.0, 49.0)]
    {
        let strip = Section::rectangle(25.4, 19.05, psi * GPA_PER_PSI);
        let per_mm = load * 4.448_222 / (304.8 * 304.8) * 25.4;
        let span = Loading::Even.span_at(1.0 / 144.0, per_mm, strip.stiffness()) / 25.4;
        near(span, inches, 1.0);
    }
}

/// Stress of a rectangle is 6 M / b h² (textbook, from memory): 200 N on 900 mm give 22 500 N·mm, and 1.496 MPa.
#[test]
fn stress_is_that_of_the_rectangle() {
    let moment = Loading::Even.bending_moment(200.0, 900.0);
    near(moment, 22_500.0, 1e-9);
    near(Section::rectangle(250.0, 19.0, 11.6).stress(moment), 6.0 * 22_500.0 / (250.0 * 19.0 * 19.0), 1e-9);
}

/// A board cut into two strips and glued up again is as stiff as it was; an edging that hangs below makes it stiffer than
/// the two apart.
#[test]
fn strips_glued_together_bend_as_one() {
    let strip = |width, low, high| Strip { width, low, high, modulus: 10.0 };
    let whole = Section(vec![strip(250.0, 0.0, 19.0)]);
    let halves = Section(vec![strip(100.0, 0.0, 19.0), strip(150.0, 0.0, 19.0)]);
    near(whole.stiffness() / halves.stiffness(), 1.0, 1e-12);
    let edging = Section(vec![strip(20.0, -19.0, 19.0)]);
    let both = Section(vec![strip(230.0, 0.0, 19.0), strip(20.0, -19.0, 19.0)]);
    let apart = Section(vec![strip(230.0, 0.0, 19.0)]).stiffness() + edging.stiffness();
    assert!(both.stiffness() > apart * 1.2);
}

proptest! {
    #[test]
    fn more_humid_air_makes_wood_wetter_and_wider(
        celsius in 0.0..45.0f64, dry in 1.0..97.0f64, more in 0.5..40.0f64, wood in 0..30usize, flat: bool,
    ) {
        let wet = (dry + more).min(98.0);
        let [a, b] = [dry, wet].map(|humidity| Air { celsius, humidity }.moisture());
        prop_assert!(0.0 < a && a < b && b < 32.0, "{a} {b}");
        let wood = &Woods::built_in().species[wood % Woods::built_in().species.len()];
        let sawn = if flat { Sawn::Flat } else { Sawn::Quarter };
        let (up, down) = (wood.change(sawn, a, b), wood.change(sawn, b, a));
        prop_assert!(up > 0.0 && down < 0.0 && up < 0.2);
        // There and back again it is as wide as it was, as near as a coefficient of one width can tell.
        prop_assert!(((1.0 + up) * (1.0 + down) - 1.0).abs() < 0.12 * up);
    }
}
