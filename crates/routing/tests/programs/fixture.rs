//! A small case made by hand: parts with the cuts that real pieces have, so that routing is tested by itself.

use case::{
    Axis, Box3, Case, Cut, Dir, HiddenLines, Likeness, Material, OrderInfo, Outline, Paper, Part, PartId, Placement,
    Projection, Purpose, Role, Sheet, Vertex,
};
use measure::{Length, Ruler, Unit, inches, mm};

pub(crate) fn order(unit: Unit) -> OrderInfo {
    OrderInfo {
        design: "glazed-case".into(),
        title: "Glazed case".into(),
        maker: "Quayside Joinery".into(),
        customer: "Lowmarsh Botanic Garden".into(),
        number: "2026-014".into(),
        date: "2026-03-02".into(),
        revisions: Vec::new(),
        unit,
        ruler: Ruler { unit, step: inches(1, 64), marks: true },
        paper: Paper { sheet: Sheet::A3, projection: Projection::First, hidden_lines: HiddenLines::Dashed },
        parameters: Vec::new(),
    }
}

pub(crate) fn case(unit: Unit, parts: Vec<Part>) -> Case {
    Case {
        order: order(unit),
        size: [mm(1000), mm(400), mm(1700)],
        parts,
        joints: Vec::new(),
        panes: Vec::new(),
        fittings: Vec::new(),
        loads: case::Loads::default(),
        seasons: case::Seasons::default(),
        plays: Vec::new(),
        findings: Vec::new(),
    }
}

pub(crate) fn part(number: u32, name: &str, role: Role, size: [Length; 3], x: Dir, z: Dir, cuts: Vec<Cut>) -> Part {
    let at = Box3 { min: [Length::ZERO; 3], max: size };
    Part {
        id: PartId(number),
        name: name.into(),
        role,
        assembly: "case".into(),
        material: Material::solid("white oak"),
        size,
        placement: Placement::filling(&at, x, z),
        cuts,
        edges: Vec::new(),
        same_as: None,
    }
}

pub(crate) fn cut(purpose: Purpose, from: Dir, outline: Outline, depth: Length) -> Cut {
    Cut { purpose, joint: None, from, outline, depth }
}

pub(crate) fn rectangle(u: [Length; 2], v: [Length; 2]) -> Outline {
    Outline::rectangle(u, v)
}

/// A post 45 × 45 × 1700: mortises and stopped grooves on two faces, a rabbet, pin holes, a hinge gain.
pub(crate) fn post() -> Part {
    let (len, s) = (mm(1700), mm(45));
    let mut cuts = vec![
        cut(Purpose::Mortise, Dir::PZ, rectangle([mm(40), mm(110)], [mm(18), mm(18) + inches(3, 8)]), inches(5, 4)),
        cut(Purpose::Mortise, Dir::PZ, rectangle([mm(1600), mm(1660)], [mm(18), mm(18) + inches(3, 8)]), inches(5, 4)),
        cut(Purpose::Groove, Dir::PZ, rectangle([mm(110), mm(1600)], [mm(18), mm(18) + inches(3, 8)]), inches(3, 8)),
        cut(Purpose::Mortise, Dir::PY, rectangle([mm(40), mm(110)], [mm(18), mm(18) + inches(3, 8)]), mm(25)),
        cut(Purpose::Rabbet, Dir::PY, rectangle([mm(30), mm(1670)], [mm(0), mm(10)]), mm(8)),
        cut(Purpose::HingeGain, Dir::NZ, rectangle([mm(200), mm(263)], [mm(0), mm(30)]), Length::from_nm(2_400_000)),
    ];
    for i in 0..8 {
        for y in [12, 33] {
            let hole = Outline::circle([mm(600) + mm(32) * i, mm(y)], inches(1, 4));
            cuts.push(cut(Purpose::PinHole, Dir::NZ, hole, inches(3, 8)));
        }
    }
    part(1, "front left post", Role::Post, [len, s, s], Dir::PZ, Dir::PY, cuts)
}

/// A rail 7/8 in thick: tenons with shoulders all round, one shoulder longer, an arched lower edge, a groove in the
/// upper edge, button pockets inside.
pub(crate) fn rail() -> Part {
    let size = [mm(600), mm(110), inches(7, 8)];
    let (l, w, t) = (size[0], size[1], size[2]);
    let ten = mm(30);
    let mut cuts = Vec::new();
    for (u, short) in [([Length::ZERO, ten], [Length::ZERO, ten - mm(6)]), ([l - ten, l], [l - ten + mm(6), l])] {
        cuts.push(cut(Purpose::TenonCheek, Dir::PZ, rectangle(u, [Length::ZERO, w]), inches(1, 4)));
        cuts.push(cut(Purpose::TenonCheek, Dir::NZ, rectangle(short, [Length::ZERO, w]), inches(1, 4)));
        cuts.push(cut(Purpose::TenonEdge, Dir::PY, rectangle(u, [Length::ZERO, t]), mm(12)));
        cuts.push(cut(Purpose::TenonEdge, Dir::NY, rectangle(u, [Length::ZERO, t]), mm(12)));
    }
    cuts.push(cut(Purpose::Groove, Dir::PY, rectangle([Length::ZERO, l], [mm(8), mm(8) + inches(1, 4)]), inches(1, 4)));
    // An arch of 40 mm rise over 400 mm, its chord on the lower edge.
    let bulge = libm::tan(libm::atan(40.0 / 200.0));
    let arch = Outline(vec![
        Vertex { u: mm(100), v: Length::ZERO, bulge: 0.0 },
        Vertex { u: mm(500), v: Length::ZERO, bulge },
    ]);
    cuts.push(cut(Purpose::Outline, Dir::PZ, arch, t));
    for x in [150, 420] {
        cuts.push(cut(
            Purpose::ButtonPocket,
            Dir::NZ,
            rectangle([mm(x), mm(x + 30)], [mm(90), mm(90) + mm(8)]),
            mm(10),
        ));
    }
    part(2, "front bottom rail", Role::Rail, size, Dir::PX, Dir::NY, cuts)
}

/// An apron with a high arch and a cut-out, both with more waste than one clears.
pub(crate) fn apron() -> Part {
    let size = [mm(900), mm(220), mm(22)];
    let bulge = libm::tan(libm::atan(90.0 / 300.0));
    let at = |u, bulge| Vertex { u: mm(u), v: Length::ZERO, bulge };
    let arch = Outline(vec![at(100, 0.0), at(700, bulge)]);
    let window = rectangle([mm(760), mm(860)], [mm(60), mm(160)]);
    let cuts = [arch, window].map(|outline| cut(Purpose::Outline, Dir::PZ, outline, size[2])).to_vec();
    part(5, "apron", Role::Rail, size, Dir::PX, Dir::NY, cuts)
}

/// A shelf with notched corners.
pub(crate) fn shelf() -> Part {
    let size = [mm(800), mm(300), mm(19)];
    let (l, w, t) = (size[0], size[1], size[2]);
    let n = mm(30);
    let z = Length::ZERO;
    let corners = [([z, n], [z, n]), ([l - n, l], [z, n]), ([z, n], [w - n, w]), ([l - n, l], [w - n, w])];
    let cuts = corners.map(|(u, v)| cut(Purpose::Notch, Dir::PZ, rectangle(u, v), t)).to_vec();
    part(3, "shelf", Role::Shelf, size, Dir::PX, Dir::PZ, cuts)
}

/// The same part mirrored across its length.
pub(crate) fn mirrored(of: &Part, number: u32) -> Part {
    let mut p = of.clone();
    p.id = PartId(number);
    p.same_as = Some(Likeness { part: of.id, mirrored: true });
    let l = of.size[0];
    for c in &mut p.cuts {
        if c.from.axis == Axis::X {
            c.from = c.from.opposite();
        } else {
            c.outline = c.outline.mapped(true, |u, v| (l - u, v));
        }
    }
    p
}
