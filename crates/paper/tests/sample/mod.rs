//! A sheet with one of everything, for the tests of the file formats.

use case::{HiddenLines, OrderInfo, Paper, Projection, Sheet as Size};
use measure::{Ruler, Unit, inches};
use paper::dimension::{self, Along, Chain, Ends, Running, Stop};
use paper::scale::Scale;
use paper::scene::{Layer, Path, Pen, Rect};
use paper::sheet::{Document, Draft, Frame, Sheet, bind};

fn order(sheet: Size, projection: Projection) -> OrderInfo {
    OrderInfo {
        design: "glazed-case".into(),
        title: "Glazed case with \"arched\" doors & <lights>".into(),
        maker: "Quayside Joinery".into(),
        customer: "Lowmarsh Botanic Garden".into(),
        number: "QJ-0412".into(),
        date: "2026-03-02".into(),
        revisions: Vec::new(),
        unit: Unit::Inch,
        ruler: Ruler { unit: Unit::Inch, step: inches(1, 32), marks: true },
        paper: Paper { sheet, projection, hidden_lines: HiddenLines::Dashed },
        parameters: Vec::new(),
    }
}

pub(crate) fn one_of_everything(size: Size, projection: Projection) -> Sheet {
    let frame = Frame::of(size);
    let mut view = Layer::new("front", "Front \"view\" & more");
    let [x, y] = [frame.above_block().min[0] + 20.0, frame.above_block().min[1] + 40.0];
    let box_ = Rect::new([x, y], 80.0, 50.0);
    view.draw(Pen::Outline, Path::rectangle(&box_));
    view.draw(Pen::Outline, Path::arc([x, y], [x + 80.0, y], -0.2));
    for (k, pen) in [Pen::Hidden, Pen::Centre, Pen::Plane, Pen::Phantom, Pen::Fine, Pen::Hatch].into_iter().enumerate()
    {
        let v = y + 20.0 + 4.0 * k as f64;
        view.line(pen, [x, v], [x + 80.0, v]);
    }
    let mut dims = Layer::new("dimensions", "Dimensions");
    let stops = |at: &[f64], from: f64| at.iter().map(|a| Stop { at: *a, from }).collect::<Vec<_>>();
    let text = |t: &[&str]| t.iter().map(|s| (*s).to_owned()).collect::<Vec<_>>();
    let widths = stops(&[x, x + 2.0, x + 30.0, x + 33.0, x + 36.0, x + 60.0, x + 78.0, x + 80.0], y);
    let figures = text(&["1/4", "14 3/8", "1 7/16", "~15/16", "12", "9 5/8", "3/4"]);
    Chain { along: Along::Across, line: y - 12.0, stops: widths, figures, ends: Ends::Past }.draw(&mut dims);
    Chain {
        along: Along::Across,
        line: y - 26.0,
        stops: stops(&[x, x + 80.0], y),
        figures: text(&["41 7/8"]),
        ends: Ends::Past,
    }
    .draw(&mut dims);
    let heights = stops(&[y, y + 12.0, y + 14.0, y + 17.0, y + 50.0], x);
    Chain {
        along: Along::Up,
        line: x - 12.0,
        stops: heights,
        figures: text(&["6", "1", "1 1/2", "17 1/8"]),
        ends: Ends::Past,
    }
    .draw(&mut dims);
    let running = stops(&[y, y + 3.0, y + 5.0, y + 30.0, y + 50.0], x + 80.0);
    let figures = text(&["0", "1 1/2", "2 1/2", "15", "25"]);
    Running { along: Along::Up, line: x + 92.0, stops: running.into_iter().zip(figures).collect() }.draw(&mut dims);
    dimension::leader(&mut dims, [x + 60.0, y + 50.0], [x + 66.0, y + 58.0], "4 pin holes ⌀ 1/4, 1/2 deep");
    dimension::balloon(&mut dims, [x + 20.0, y + 62.0], [x + 24.0, y + 45.0], "P07");
    let draft = Draft {
        name: "sample-1".into(),
        title: "One of everything".into(),
        scale: Some(Scale { paper: 1, piece: 10 }),
        wide: 0.5,
        layers: vec![view, dims],
    };
    bind(
        &order(size, projection),
        Document { code: "GA", kind: "General arrangement", caution: paper::sheet::BY_FIGURES },
        vec![draft],
    )
    .remove(0)
}
