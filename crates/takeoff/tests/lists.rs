//! The lists of a small case made by hand: counting, grouping, CSV and page.

use case::{
    Box3, Case, Dir, Fitting, Form, HiddenLines, Likeness, Material, OrderInfo, Pane, Paper, Part, PartId, Placement,
    Projection, Role, Sheet,
};
use measure::{Length, Ruler, Unit, inches};

fn part(id: u32, name: &str, role: Role, wood: &str, form: Form, size: [Length; 3]) -> Part {
    let at = Box3 { min: [Length::ZERO; 3], max: size };
    Part {
        id: PartId(id),
        name: name.into(),
        role,
        assembly: "case".into(),
        material: Material { form, ..Material::solid(wood) },
        size,
        placement: Placement::filling(&at, Dir::PX, Dir::PZ),
        cuts: Vec::new(),
        edges: Vec::new(),
        same_as: None,
    }
}

fn small_case() -> Case {
    let post = [inches(54, 1), inches(7, 4), inches(7, 4)];
    let bead = [inches(12, 1), inches(3, 8), inches(1, 4)];
    let like = |of: u32, mirrored| Some(Likeness { part: PartId(of), mirrored });
    let oak = |id, name: &str, role, size| part(id, name, role, "white oak", Form::Solid, size);
    let parts = vec![
        oak(1, "front left post", Role::Post, post),
        Part { same_as: like(1, true), ..oak(2, "front right post", Role::Post, post) },
        oak(3, "left panel", Role::Panel, [inches(40, 1), inches(17, 1), inches(3, 8)]),
        part(4, "back", Role::Back, "birch plywood", Form::Sheet, [inches(48, 1), inches(40, 1), inches(1, 4)]),
        oak(5, "upper bead", Role::Bead, bead),
        Part { same_as: like(5, false), ..oak(6, "lower bead", Role::Bead, bead) },
    ];
    let ruler = Ruler { unit: Unit::Inch, step: inches(1, 32), marks: true };
    let pane = |id: &str| Pane {
        id: id.into(),
        name: "light".into(),
        assembly: "left door".into(),
        size: [inches(1001, 64), inches(12, 1), inches(1, 8)],
        placement: Placement::filling(&parts[0].blank(), Dir::PX, Dir::PZ),
        clearance: inches(1, 16),
    };
    let hinge = Fitting {
        kind: "butt hinge",
        spec: "2 1/2 in, brass".into(),
        at: [Length::ZERO; 3],
        parts: vec![PartId(2), PartId(1)],
    };
    Case {
        order: OrderInfo {
            design: "small".into(),
            title: "Small case".into(),
            maker: "Quayside Joinery".into(),
            customer: "Lowmarsh Botanic Garden".into(),
            number: "Q-1".into(),
            date: "2026-03-02".into(),
            revisions: Vec::new(),
            unit: Unit::Inch,
            ruler,
            paper: Paper { sheet: Sheet::A3, projection: Projection::Third, hidden_lines: HiddenLines::Dashed },
            parameters: Vec::new(),
        },
        size: [inches(40, 1), inches(17, 1), inches(54, 1)],
        panes: vec![pane("G01"), pane("G02")],
        fittings: vec![hinge.clone(), hinge],
        parts,
        joints: Vec::new(),
        loads: case::Loads::default(),
        seasons: case::Seasons::default(),
        plays: Vec::new(),
        findings: Vec::new(),
    }
}

#[test]
fn alike_parts_share_a_row_and_mirrored_ones_are_counted() {
    let csv = takeoff::cut_list(&takeoff::take_off(&small_case()), &small_case().order);
    let rows: Vec<&str> = csv.split("\r\n").collect();
    assert_eq!(
        rows,
        [
            "parts,name,assembly,count,mirrored,material,form,unit,length,width,thickness,running",
            "P01 P02,front post,case,2,1,white oak,solid,in,54,1.75,1.75,",
            "P03,left panel,case,1,0,white oak,solid,in,40,17,0.375,",
            "P04,back,case,1,0,birch plywood,sheet,in,48,40,0.25,",
            "P05 P06,bead,case,2,0,white oak,solid,in,12,0.375,0.25,bead",
            "",
        ]
    );
}

#[test]
fn glass_and_fittings_are_counted_by_what_is_ordered() {
    let taken = takeoff::take_off(&small_case());
    assert_eq!(
        takeoff::glass(&taken, &small_case().order).lines().nth(1),
        Some("G01 G02,2,in,15.640625,12,0.125,left door")
    );
    assert_eq!(takeoff::fittings(&taken).lines().nth(1), Some("butt hinge,\"2 1/2 in, brass\",2,P01 P02"));
}

#[test]
fn the_page_says_what_was_rounded() {
    let page = takeoff::page(&takeoff::take_off(&small_case()), &small_case());
    assert!(page.contains("~15 21/32"), "15 41/64 in is not on a ruler of 32nds");
    assert!(page.contains("1 mirrored") && page.contains("Lowmarsh Botanic Garden"));
}
