//! Pages as PDF (ISO 32000): subset fonts with text that can be searched, no dates, no scaling by viewers.

use std::collections::BTreeMap;

use miniz_oxide::deflate::compress_to_vec_zlib;
use pdf_writer::types::{CidFontType, FontFlags, LineCapStyle, SystemInfo, UnicodeCmap};
use pdf_writer::{Content, Filter, Finish, Name, Pdf, Rect, Ref, Str, TextStr};
use subsetter::GlyphRemapper;

use crate::colour::Rgb;
use crate::fault::{Result, Watch};
use crate::length::Length;
use crate::plan::Plan;
use crate::sheet::{Draw, Font, Page, Path, Press, Stretch, Text, book, wall_book};
use crate::wall::WallPlan;

const SYSTEM: SystemInfo<'static> =
    SystemInfo { registry: Str(b"Adobe"), ordering: Str(b"Identity"), supplement: 0 };
const LEVEL: u8 = 6;

/// Writes the whole book as PDF.
///
/// # Errors
/// [`Error::Stopped`](crate::fault::Error::Stopped) when the watcher asks to stop.
pub fn book_pdf(press: &Press, plan: &Plan, watch: &dyn Watch) -> Result<Vec<u8>> {
    pdf(press, &book(press, plan, watch)?, plan.name(), watch)
}

/// Writes the book of a wall as PDF.
///
/// # Errors
/// [`Error::Stopped`](crate::fault::Error::Stopped) when the watcher asks to stop.
pub fn wall_pdf(press: &Press, wall: &WallPlan, watch: &dyn Watch) -> Result<Vec<u8>> {
    pdf(press, &wall_book(press, wall, watch)?, wall.name(), watch)
}

fn pdf(press: &Press, pages: &[Page], title: &str, watch: &dyn Watch) -> Result<Vec<u8>> {
    let mut next = 1;
    let mut fresh = || {
        next += 1;
        Ref::new(next - 1)
    };
    let (catalog, tree, info) = (fresh(), fresh(), fresh());
    let fonts: Vec<Type> = Font::ALL.into_iter().map(|font| Type::new(font, pages, &mut fresh)).collect();
    let ids: Vec<(Ref, Ref)> = pages.iter().map(|_| (fresh(), fresh())).collect();
    let mut pdf = Pdf::new();
    let mut root = pdf.catalog(catalog);
    root.pages(tree).lang(TextStr(press.language.tag()));
    root.viewer_preferences().display_doc_title(true).pair(Name(b"PrintScaling"), Name(b"None"));
    root.finish();
    pdf.document_info(info).title(TextStr(title)).producer(TextStr("Squarewright"));
    pdf.pages(tree).kids(ids.iter().map(|&(page, _)| page)).count(i32::try_from(pages.len()).unwrap_or(0));
    let (width, height) = press.paper.size();
    for (done, (page, &(id, content))) in pages.iter().zip(&ids).enumerate() {
        watch.check(0.5 + done as f32 / pages.len() as f32 / 2.0)?;
        let mut writer = pdf.page(id);
        writer.parent(tree).media_box(Rect::new(0.0, 0.0, pt(width), pt(height))).contents(content);
        let mut resources = writer.resources();
        let mut dict = resources.fonts();
        for font in &fonts {
            dict.pair(font.name(), font.id);
        }
        dict.finish();
        resources.finish();
        writer.finish();
        let bytes = compress_to_vec_zlib(&content_of(page, &fonts, press.stretch), LEVEL);
        pdf.stream(content, &bytes).filter(Filter::FlateDecode);
    }
    for font in &fonts {
        font.write(&mut pdf);
    }
    Ok(pdf.finish())
}

/// A face of type with the characters that the pages use.
struct Type {
    font: Font,
    glyphs: GlyphRemapper,
    characters: BTreeMap<char, u16>,
    id: Ref,
    cid: Ref,
    descriptor: Ref,
    cmap: Ref,
    file: Ref,
}

impl Type {
    fn new(font: Font, pages: &[Page], fresh: &mut impl FnMut() -> Ref) -> Self {
        let mut used = BTreeMap::new();
        let draws = pages.iter().flat_map(|page| &page.draws);
        for draw in draws {
            if let Draw::Text(text) = draw
                && text.font == font
            {
                used.extend(text.words.chars().map(|character| (character, 0)));
            }
        }
        let mut glyphs = GlyphRemapper::new();
        for (character, glyph) in &mut used {
            *glyph = glyphs.remap(font.face().glyph_index(*character).unwrap_or_default().0);
        }
        let [id, cid, descriptor, cmap, file] = std::array::from_fn(|_| fresh());
        Self { font, glyphs, characters: used, id, cid, descriptor, cmap, file }
    }

    fn name(&self) -> Name<'static> {
        match self.font {
            Font::Regular => Name(b"R"),
            Font::Bold => Name(b"B"),
        }
    }

    /// The name of a subset begins with a tag of six capitals; ours is fixed so that bytes never change.
    fn base(&self) -> Name<'static> {
        match self.font {
            Font::Regular => Name(b"SQUARE+DejaVuSans"),
            Font::Bold => Name(b"WRIGHT+DejaVuSans-Bold"),
        }
    }

    fn write(&self, pdf: &mut Pdf) {
        let face = self.font.face();
        let scaled = |value: i16| f32::from(value) * 1000.0 / f32::from(face.units_per_em());
        pdf.type0_font(self.id)
            .base_font(self.base())
            .encoding_predefined(Name(b"Identity-H"))
            .descendant_font(self.cid)
            .to_unicode(self.cmap);
        let mut cid = pdf.cid_font(self.cid);
        cid.subtype(CidFontType::Type2).base_font(self.base()).system_info(SYSTEM);
        cid.font_descriptor(self.descriptor).default_width(0.0).cid_to_gid_map_predefined(Name(b"Identity"));
        let mut widths = cid.widths();
        for (&character, &glyph) in &self.characters {
            let width = self.font.advance(character) as f32;
            widths.consecutive(glyph, [width]);
        }
        widths.finish();
        cid.finish();
        let bounds = face.global_bounding_box();
        pdf.font_descriptor(self.descriptor)
            .name(self.base())
            .flags(FontFlags::NON_SYMBOLIC)
            .bbox(Rect::new(
                scaled(bounds.x_min),
                scaled(bounds.y_min),
                scaled(bounds.x_max),
                scaled(bounds.y_max),
            ))
            .italic_angle(0.0)
            .ascent(scaled(face.ascender()))
            .descent(scaled(face.descender()))
            .cap_height(scaled(face.capital_height().unwrap_or(face.ascender())))
            .stem_v(80.0)
            .font_file2(self.file);
        let mut cmap = UnicodeCmap::new(Name(b"Squarewright"), SYSTEM);
        for (&character, &glyph) in &self.characters {
            cmap.pair(glyph, character);
        }
        let cmap = cmap.finish();
        let cmap = compress_to_vec_zlib(cmap.as_slice(), LEVEL);
        pdf.cmap(self.cmap, &cmap).filter(Filter::FlateDecode);
        // The whole font is a valid, larger stand-in should the subset ever fail.
        let data = subsetter::subset(self.font.data(), 0, &self.glyphs)
            .unwrap_or_else(|_| self.font.data().to_vec());
        let file = compress_to_vec_zlib(&data, LEVEL);
        pdf.stream(self.file, &file).filter(Filter::FlateDecode);
    }
}

fn content_of(page: &Page, fonts: &[Type], stretch: Stretch) -> Vec<u8> {
    let mut content = Content::new();
    if stretch != Stretch::default() {
        let (across, down) = stretch.factors();
        content.transform([across, 0.0, 0.0, down, 0.0, 0.0]);
    }
    content.set_line_cap(LineCapStyle::ProjectingSquareCap);
    let turned = |y: Length| pt(page.height - y);
    for draw in &page.draws {
        match draw {
            Draw::Fill { path, rgb } => {
                fill_colour(&mut content, *rgb);
                trace(&mut content, path, &turned);
                content.fill_even_odd();
            }
            Draw::Stroke { path, width, rgb } => {
                let [r, g, b] = channels(*rgb);
                content.set_stroke_rgb(r, g, b).set_line_width(pt(*width));
                trace(&mut content, path, &turned);
                content.stroke();
            }
            Draw::Text(text) => words(&mut content, text, fonts, &turned),
            Draw::Layer(_) | Draw::EndLayer => {}
        }
    }
    content.finish().into_vec()
}

fn trace(content: &mut Content, path: &Path, turned: &impl Fn(Length) -> f32) {
    for line in &path.0 {
        for (index, place) in line.places.iter().enumerate() {
            let (x, y) = (pt(place.x), turned(place.y));
            if index == 0 {
                content.move_to(x, y)
            } else {
                content.line_to(x, y)
            };
        }
        if line.closed {
            content.close_path();
        }
    }
}

fn words(content: &mut Content, text: &Text, fonts: &[Type], turned: &impl Fn(Length) -> f32) {
    let Some(font) = fonts.iter().find(|font| font.font == text.font) else { return };
    let codes: Vec<u8> = text
        .words
        .chars()
        .filter_map(|character| font.characters.get(&character))
        .flat_map(|glyph| glyph.to_be_bytes())
        .collect();
    fill_colour(content, text.rgb);
    content.begin_text().set_font(font.name(), pt(text.size));
    content.next_line(pt(text.at.x), turned(text.at.y)).show(Str(&codes)).end_text();
}

fn fill_colour(content: &mut Content, rgb: Rgb) {
    let [r, g, b] = channels(rgb);
    content.set_fill_rgb(r, g, b);
}

fn channels(rgb: Rgb) -> [f32; 3] {
    rgb.0.map(|channel| f32::from(channel) / 255.0)
}

#[expect(clippy::cast_possible_truncation, reason = "PDF writers work in f32; a page is at most 200 in")]
fn pt(length: Length) -> f32 {
    length.pt() as f32
}
