//! Sheets as one PDF: a page to a sheet at its own size, bookmarks, lettering that can be searched.
//!
//! Lines and arcs are drawn in millimetres by the same rules as in SVG. Nothing depends on the day or the machine: the
//! same sheets give the same bytes. Readers are asked to print at 100 %.

mod font;
mod page;

use miniz_oxide::deflate::compress_to_vec_zlib;
use pdf_writer::types::PageMode;
use pdf_writer::{Chunk, Filter, Finish, Name, Pdf, Rect, Ref, Settings, TextStr};
use rayon::prelude::*;

use crate::sheet::Sheet;

/// Sheets that stand under one bookmark.
#[derive(Clone, Copy, Debug)]
pub struct Chapter<'a> {
    /// What the bookmark says.
    pub title: &'a str,
    /// Its sheets, each with a bookmark of its own.
    pub sheets: &'a [Sheet],
}

/// Points, the unit of a PDF, to a millimetre.
const POINTS: f64 = 72.0 / 25.4;
/// Level of compression: line work shrinks little further above it, and takes much longer.
const LEVEL: u8 = 2;
/// The name of the font in the pages' resources.
const FONT: Name<'static> = Name(b"L");

/// The sheets as a PDF with that title; chapters without sheets are left out.
pub fn pdf(title: &str, chapters: &[Chapter<'_>]) -> Vec<u8> {
    let chapters: Vec<&Chapter<'_>> = chapters.iter().filter(|c| !c.sheets.is_empty()).collect();
    let settings = Settings { pretty: false };
    let mut next = Ref::new(1);
    let mut new = || next.bump();
    let (catalog, info, pages, lettering) = (new(), new(), new(), new());
    let mut pdf = Pdf::with_settings(settings);
    pdf.document_info(info).title(TextStr(title)).creator(TextStr("casewright"));
    let mut body = Chunk::with_settings(settings);
    font::write(&mut body, lettering, &mut new);

    // Only the numbers of the objects must be given one after the other.
    let sheets: Vec<&Sheet> = chapters.iter().flat_map(|c| c.sheets).collect();
    let streams: Vec<Vec<u8>> = sheets.par_iter().map(|sheet| packed(&page::content(sheet))).collect();
    let mut streams = streams.into_iter();
    let mut kids = Vec::new();
    let mut groups: Vec<Bookmark<'_>> = Vec::new();
    for chapter in &chapters {
        let mut children = Vec::new();
        for sheet in chapter.sheets {
            let (id, contents) = (new(), new());
            kids.push(id);
            children.push(Bookmark { id: new(), title: &sheet.title, page: id, children: Vec::new() });
            let mut page = body.page(id);
            page.parent(pages).contents(contents);
            page.media_box(Rect::new(0.0, 0.0, points(sheet.paper.width), points(sheet.paper.height)));
            page.finish();
            body.stream(contents, &streams.next().unwrap_or_default()).filter(Filter::FlateDecode);
        }
        groups.push(Bookmark { id: new(), title: chapter.title, page: children[0].page, children });
    }
    let count = i32::try_from(kids.len()).unwrap_or(i32::MAX);
    let mut tree = pdf.pages(pages);
    tree.count(count).kids(kids);
    tree.resources().fonts().pair(FONT, lettering);
    tree.finish();

    let mut root = pdf.catalog(catalog);
    root.pages(pages).lang(TextStr("en"));
    let mut preferences = root.viewer_preferences();
    preferences.display_doc_title(true).pair(Name(b"PrintScaling"), Name(b"None"));
    preferences.finish();
    if let [first, .., last] | [first @ last] = groups.as_slice() {
        let outline = new();
        root.page_mode(PageMode::UseOutlines).outlines(outline);
        body.outline(outline).first(first.id).last(last.id).count(open(&groups));
        write(&mut body, outline, &groups);
    }
    root.finish();
    pdf.extend(&body);
    pdf.finish()
}

/// An entry of the outline.
struct Bookmark<'a> {
    id: Ref,
    title: &'a str,
    page: Ref,
    children: Vec<Bookmark<'a>>,
}

/// How many entries are shown at first: all.
fn open(entries: &[Bookmark<'_>]) -> i32 {
    entries.iter().map(|e| 1 + open(&e.children)).sum()
}

fn write(body: &mut Chunk, parent: Ref, entries: &[Bookmark<'_>]) {
    for (i, entry) in entries.iter().enumerate() {
        let mut item = body.outline_item(entry.id);
        item.title(TextStr(entry.title)).parent(parent);
        if let Some(before) = i.checked_sub(1) {
            item.prev(entries[before].id);
        }
        if let Some(after) = entries.get(i + 1) {
            item.next(after.id);
        }
        if let [first, .., last] | [first @ last] = entry.children.as_slice() {
            item.first(first.id).last(last.id).count(open(&entry.children));
        }
        item.dest().page(entry.page).fit();
        item.finish();
        write(body, entry.id, &entry.children);
    }
}

/// A stream to be compressed here and now.
fn stream(body: &mut Chunk, id: Ref, bytes: &[u8]) {
    body.stream(id, &packed(bytes)).filter(Filter::FlateDecode);
}

/// The compressed bytes of a stream.
fn packed(bytes: &[u8]) -> Vec<u8> {
    compress_to_vec_zlib(bytes, LEVEL)
}

/// Millimetres in points.
#[expect(clippy::cast_possible_truncation, reason = "seven digits tell a sheet of two metres to a micrometre")]
fn points(mm: f64) -> f32 {
    (mm * POINTS) as f32
}
