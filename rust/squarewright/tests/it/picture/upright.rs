//! Pictures stand the way the camera was held (CIPA DC-008, orientation tag).

use squarewright::picture::Picture;

use super::make::{self, SIX};
use super::read;

/// Where the first row and the first column of the stored pixels belong, for the values 1 to 8.
const SIDES: [(&str, &str); 8] = [
    ("top", "left"),
    ("top", "right"),
    ("bottom", "right"),
    ("bottom", "left"),
    ("left", "top"),
    ("right", "top"),
    ("right", "bottom"),
    ("left", "bottom"),
];

/// Gives the upright place of a stored pixel that is `from_row` rows and `from_column` columns in.
fn place(sides: (&str, &str), upright: &Picture, from_row: u32, from_column: u32) -> (u32, u32) {
    let (mut x, mut y) = (0, 0);
    for (side, distance) in [(sides.0, from_row), (sides.1, from_column)] {
        match side {
            "left" => x = distance,
            "right" => x = upright.width() - 1 - distance,
            "top" => y = distance,
            _ => y = upright.height() - 1 - distance,
        }
    }
    (x, y)
}

fn assert_upright(picture: &Picture, orientation: u16) {
    let sides = SIDES[usize::from(orientation) - 1];
    let expected = if orientation < 5 { (3, 2) } else { (2, 3) };
    assert_eq!((picture.width(), picture.height()), expected, "orientation {orientation}");
    for (index, &[red, green, blue]) in (0..).zip(&SIX) {
        let (x, y) = place(sides, picture, index / 3, index % 3);
        assert_eq!(picture.pixel(x, y), [red, green, blue, 255], "orientation {orientation} at {x}, {y}");
    }
}

fn png(tags: &[u8]) -> Vec<u8> {
    make::png((3, 2), 8, make::RGB, &SIX.concat(), &[make::chunk(*b"eXIf", tags)])
}

fn webp(tags: &[u8]) -> Vec<u8> {
    let pixels = make::six_webp()[12..].to_vec();
    make::riff(&[make::extended(0x08), pixels, make::riff_chunk(*b"EXIF", tags)])
}

#[test]
fn a_png_stands_upright_for_each_of_the_eight_orientations() {
    for orientation in 1..=8 {
        assert_upright(&read(&png(&make::exif(orientation))), orientation);
    }
}

#[test]
fn an_orientation_behind_the_pixels_of_a_png_counts_too() {
    let rows: Vec<u8> = SIX.concat().chunks(9).flat_map(|row| [&[0], row].concat()).collect();
    let tags = make::chunk(*b"eXIf", &make::exif(6));
    let bytes = make::png_of(&[make::header(3, 2, 8, make::RGB, 0), make::data(&rows), tags, make::end()]);
    assert_upright(&read(&bytes), 6);
}

#[test]
fn a_webp_stands_upright_for_each_of_the_eight_orientations() {
    for orientation in 1..=8 {
        assert_upright(&read(&webp(&make::exif(orientation))), orientation);
        let with_prefix = [b"Exif\0\0".to_vec(), make::exif(orientation)].concat();
        assert_upright(&read(&webp(&with_prefix)), orientation);
    }
}

#[test]
fn a_jpeg_held_sideways_stands_upright() {
    // stored: light on the left, dark on the right; the first column belongs at the top
    let row = [vec![240; 8 * 3], vec![16; 8 * 3]].concat();
    let tags = [b"Exif\0\0".to_vec(), make::exif(6)].concat();
    let picture = read(&make::with_segment(&make::jpeg(16, 8, &row.repeat(8)), 0xE1, &tags));
    assert_eq!((picture.width(), picture.height()), (8, 16));
    for (y, row) in picture.rows().enumerate() {
        let is_light = row.chunks(4).all(|pixel| pixel[0] > 200);
        let is_dark = row.chunks(4).all(|pixel| pixel[0] < 56);
        assert!(if y < 8 { is_light } else { is_dark }, "row {y}");
    }
    assert!(picture.jpeg().unwrap().turned);
}

#[test]
fn an_orientation_without_meaning_leaves_the_picture_as_stored() {
    for tags in [make::exif(0), make::exif(9), make::exif(99), b"MM\0\x2Anonsense".to_vec(), vec![0xFF; 3]] {
        assert_upright(&read(&png(&tags)), 1);
        assert_upright(&read(&webp(&tags)), 1);
        let jpeg = make::with_segment(&make::grey_jpeg(false), 0xE1, &[&b"Exif\0\0"[..], &tags].concat());
        assert!(!read(&jpeg).jpeg().unwrap().turned);
    }
}
