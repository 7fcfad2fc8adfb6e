//! The font, embedded whole, with the map from its glyphs to Unicode by which a reader searches and copies.

use pdf_writer::types::{CidFontType, FontFlags, SystemInfo, UnicodeCmap};
use pdf_writer::{Chunk, Filter, Finish, Name, Rect, Ref, Str};
use ttf_parser::Face;

use super::LEVEL;
use crate::text;

const NAME: Name<'static> = Name(b"RoutedGothic");
const IDENTITY: SystemInfo<'static> = SystemInfo { registry: Str(b"Adobe"), ordering: Str(b"Identity"), supplement: 0 };

/// Units to the em.
pub(super) fn em() -> f64 {
    Face::parse(text::FONT, 0).map_or(1000.0, |f| f64::from(f.units_per_em()))
}

/// Writes the font as object `id`; texts are told by the numbers of its glyphs, two bytes each.
pub(super) fn write(body: &mut Chunk, id: Ref, new: &mut impl FnMut() -> Ref) {
    let Ok(face) = Face::parse(text::FONT, 0) else { return };
    let (cid, descriptor, file, map) = (new(), new(), new(), new());
    body.type0_font(id).base_font(NAME).encoding_predefined(Name(b"Identity-H")).descendant_font(cid).to_unicode(map);

    let scale = 1000.0 / f32::from(face.units_per_em());
    // Several characters may share a glyph, a space and a hard space for one: the first is what it is read as.
    let mut glyphs: Vec<(u16, u32, char)> = text::glyphs().map(|(c, glyph, advance)| (glyph, advance, c)).collect();
    glyphs.sort_unstable();
    glyphs.dedup_by_key(|g| g.0);
    let mut font = body.cid_font(cid);
    font.subtype(CidFontType::Type2).base_font(NAME).system_info(IDENTITY).font_descriptor(descriptor);
    font.default_width(0.0).cid_to_gid_map_predefined(Name(b"Identity"));
    let mut widths = font.widths();
    for (glyph, advance, _) in &glyphs {
        widths.consecutive(*glyph, [width(*advance) * scale]);
    }
    widths.finish();
    font.finish();

    let bounds = face.global_bounding_box();
    let units = |v: i16| f32::from(v) * scale;
    body.font_descriptor(descriptor)
        .name(NAME)
        .flags(FontFlags::NON_SYMBOLIC)
        .bbox(Rect::new(units(bounds.x_min), units(bounds.y_min), units(bounds.x_max), units(bounds.y_max)))
        .italic_angle(0.0)
        .ascent(units(face.ascender()))
        .descent(units(face.descender()))
        .cap_height(units(face.capital_height().unwrap_or(1)))
        .stem_v(80.0)
        .font_file2(file);
    let packed = miniz_oxide::deflate::compress_to_vec_zlib(text::FONT, LEVEL);
    let length = i32::try_from(text::FONT.len()).unwrap_or(i32::MAX);
    body.stream(file, &packed).filter(Filter::FlateDecode).pair(Name(b"Length1"), length);

    let mut unicode = UnicodeCmap::new(Name(b"RoutedGothic-Unicode"), IDENTITY);
    for (glyph, _, c) in glyphs {
        unicode.pair(glyph, c);
    }
    super::stream(body, map, &unicode.finish());
}

#[expect(clippy::cast_precision_loss, reason = "an advance is a few hundred units")]
const fn width(advance: u32) -> f32 {
    advance as f32
}
