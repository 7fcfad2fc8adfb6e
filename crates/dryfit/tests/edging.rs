//! Shelves of plywood with a solid edging: sizes, how they go together, and what they bear.

use case::{Case, Level, Role, bearing};
use design::{Job, builtin};
use fault::Source;
use measure::inches;

/// Open shelves, their shelves of plywood, with an edging so thick.
fn shelves(edging: &str) -> Case {
    let text = builtin::DESIGNS.iter().find(|(name, _)| *name == "open-shelves").unwrap().1;
    let own = text.replace("[shelves]\n", "[shelves]\nwood = \"birch plywood\"\n");
    let order = Source::new("order.toml", "design = \"own.toml\"\n");
    let settings = [format!("shelf_edging={edging}")];
    let read = Job::read(&order, &settings, |_| Ok(Source::new("own.toml", own.clone())));
    let (job, resolved) = read.unwrap_or_else(|faults| panic!("{faults}"));
    case::solve(&job, &resolved, &dryfit::check)
}

#[test]
fn a_shelf_is_narrower_by_its_edging_and_all_of_it_goes_together() {
    let (plain, edged) = (shelves("0 in"), shelves("3/4 in"));
    let stops: Vec<_> = edged.findings.iter().filter(|f| f.level == Level::Stop).collect();
    assert!(stops.is_empty(), "{stops:?}");
    let all = |case: &Case| case.parts.iter().filter(|p| p.role == Role::Shelf).count();
    assert_eq!(edged.edgings().count(), all(&edged));
    assert!(plain.edgings().next().is_none() && all(&plain) == all(&edged) && all(&edged) > 3);
    let solids = dryfit::solids(&edged);
    for (shelf, edging) in edged.edgings() {
        let [shelf, edging] = [shelf, edging].map(|id| edged.part(id));
        let before = plain.parts.iter().find(|p| p.name == shelf.name).unwrap();
        assert_eq!(shelf.size[1] + edging.size[1], before.size[1], "as deep as a plain one");
        assert_eq!([edging.size[1], edging.size[2]], [inches(3, 4), shelf.size[2]]);
        // It lies flush against the shelf's front, all along.
        let of = |id| solids.iter().find(|s| s.body == dryfit::Body::Part(id)).unwrap();
        let area = dryfit::touching(of(edging.id), of(shelf.id), case::Dir::PY, f64::INFINITY);
        let whole = edging.size[0].mm() * edging.size[2].mm();
        assert!((area - whole).abs() < 1.0, "{area} of {whole}");
        assert_eq!((edging.material.name.as_str(), shelf.material.name.as_str()), ("cherry", "birch plywood"));
    }
}

#[test]
fn an_edging_of_stiffer_wood_stiffens_its_shelf() {
    let (plain, edged) = (shelves("0 in"), shelves("3/4 in"));
    let [before, after] = [&plain, &edged].map(|case| bearing::bearings(case)[0].clone());
    assert!((before.load - after.load).abs() < 1e-9, "the same books on the same depth");
    assert!(after.first < before.first, "{} and {}", before.first, after.first);
    assert!(before.edged.is_some() && after.edged.is_none());
    // With a pencil: side by side the two share the load by breadth times stiffness.
    let shelf = edged.parts.iter().find(|p| p.role == Role::Shelf).unwrap();
    let stiff = |name: &str, form| {
        let m = case::Material { form, ..case::Material::solid(name) };
        edged.seasons.strength(&m).modulus
    };
    let (ply, cherry) = (stiff("birch plywood", case::Form::Sheet), stiff("cherry", case::Form::Solid));
    let (wide, front) = (shelf.size[1].mm(), inches(3, 4).mm());
    let share = (wide + front) * ply / (wide * ply + front * cherry);
    assert!((after.first / before.first - share).abs() < 1e-9);
}
