//! Colours that a profile describes become sRGB (ICC.1:2022; IEC 61966-2-1).

use moxcms::{ColorProfile, ToneReprCurve};
use squarewright::colour::{Lab, Rgb, ciede2000};
use squarewright::fault::Unwatched;
use squarewright::picture::{Note, Picture};

use super::make;
use super::read;

/// Colours of Display P3 (SMPTE EG 432-1 primaries, D65, the sRGB curve) within sRGB, and the same in sRGB.
///
/// The matrices are those of CSS Color 4, sample code: P3 to XYZ and XYZ to sRGB; worked out to 8 bits.
const P3: [([u8; 3], [u8; 3]); 5] = [
    ([255, 255, 255], [255, 255, 255]),
    ([128, 128, 128], [128, 128, 128]),
    ([200, 100, 50], [215, 93, 31]),
    ([60, 120, 80], [30, 122, 76]),
    ([90, 90, 180], [90, 90, 186]),
];

fn encoded(profile: &ColorProfile) -> Vec<u8> {
    profile.encode().expect("a profile")
}

fn difference(one: [u8; 3], other: [u8; 3]) -> f64 {
    ciede2000(Lab::from(Rgb(one)), Lab::from(Rgb(other)))
}

fn png(size: (u32, u32), color: u8, rows: &[u8], profile: &[u8]) -> Picture {
    let packed = miniz_oxide::deflate::compress_to_vec_zlib(profile, 6);
    let chunk = make::chunk(*b"iCCP", &[b"p\0\0".to_vec(), packed].concat());
    read(&make::png(size, 8, color, rows, &[chunk]))
}

fn colours(picture: &Picture) -> Vec<[u8; 3]> {
    picture.pixels().as_chunks::<4>().0.iter().map(|&[red, green, blue, _]| [red, green, blue]).collect()
}

#[test]
fn display_p3_becomes_srgb_in_every_format() {
    let profile = encoded(&ColorProfile::new_display_p3());
    let rows: Vec<u8> = P3.iter().flat_map(|&(p3, _)| p3).collect();
    let from_png = png((5, 1), make::RGB, &rows, &profile);
    assert_eq!(from_png.notes(), []);
    for (found, (given, wanted)) in colours(&from_png).into_iter().zip(P3) {
        assert!(difference(found, wanted) < 1.0, "{given:?} became {found:?}, not {wanted:?}");
    }

    let flat = make::jpeg(16, 16, &P3[2].0.repeat(256));
    let plain = read(&flat).pixel(8, 8);
    let body = [b"ICC_PROFILE\0\x01\x02".to_vec(), profile[..200].to_vec()].concat();
    let rest = [b"ICC_PROFILE\0\x02\x02".to_vec(), profile[200..].to_vec()].concat();
    // the parts may come in any order
    let tagged = read(&make::with_segment(&make::with_segment(&flat, 0xE2, &body), 0xE2, &rest));
    assert_eq!(tagged.notes(), []);
    let [red, green, blue, _] = tagged.pixel(8, 8);
    assert!(difference([red, green, blue], P3[2].1) < 1.5, "{:?} from {plain:?}", tagged.pixel(8, 8));

    let chunk = make::riff_chunk(*b"ICCP", &profile);
    let webp = read(&make::riff(&[make::extended(0x20), chunk, make::six_webp()[12..].to_vec()]));
    assert_eq!(webp.notes(), []);
    assert_ne!(webp.pixels(), make::six_rgba());
}

#[test]
fn opacity_is_left_alone() {
    let profile = encoded(&ColorProfile::new_display_p3());
    let picture = png((2, 1), make::RGBA, &[200, 100, 50, 7, 60, 120, 80, 0], &profile);
    assert_eq!([picture.pixel(0, 0)[3], picture.pixel(1, 0)[3]], [7, 0]);
}

#[test]
fn a_profile_that_is_srgb_leaves_every_pixel_as_it_is() {
    let profile = encoded(&ColorProfile::new_srgb());
    let rows: Vec<u8> = (0..=255).flat_map(|level| [level, 255 - level, level / 2]).collect();
    let picture = png((256, 1), make::RGB, &rows, &profile);
    assert!(colours(&picture).into_iter().eq(rows.as_chunks().0.iter().copied()));
    assert_eq!(picture.notes(), []);
}

#[test]
fn grey_pixels_take_the_curve_of_their_profile() {
    let gamma = |power: f32| encoded(&ColorProfile::new_gray_with_gamma(power));
    let greys: Vec<u8> = (0..=255).collect();
    let picture = png((256, 1), make::GREY, &greys, &gamma(1.8));
    assert_eq!(picture.notes(), []);
    for (grey, found) in greys.iter().zip(colours(&picture)) {
        // linear light by the power law of the profile, then the curve of IEC 61966-2-1
        let linear = libm::pow(f64::from(*grey) / 255.0, 1.8);
        let wanted =
            if linear <= 0.003_130_8 { linear * 12.92 } else { 1.055 * libm::pow(linear, 1.0 / 2.4) - 0.055 };
        let is_near = |level: u8| (f64::from(level) - wanted * 255.0).abs() <= 1.0;
        assert!(found.into_iter().all(is_near), "{grey} became {found:?}, not {:.1}", wanted * 255.0);
    }
}

#[test]
fn a_profile_that_does_not_suit_is_noted_and_the_pixels_stay() {
    // the kind of colours stands at byte 16 of the header
    let of_kind = |kind: &[u8; 4]| {
        let mut profile = encoded(&ColorProfile::new_srgb());
        profile[16..20].copy_from_slice(kind);
        profile
    };
    let mut bare = ColorProfile::new_display_p3();
    bare.red_trc = None;
    let huge = vec![0; (4 << 20) + 1];
    for (profile, why) in [
        (of_kind(b"Lab "), "it is for another kind of colours"),
        (of_kind(b"CMYK"), "it is for print inks"),
        (encoded(&ColorProfile::new_gray_with_gamma(2.2)), "it is for grey pictures"),
        (encoded(&bare), "it does not say how its colours look"),
        (huge, "its content makes no sense"),
        (b"junk".to_vec(), "its content makes no sense"),
        (Vec::new(), "its content makes no sense"),
    ] {
        let picture = png((3, 2), make::RGB, &make::SIX.concat(), &profile);
        assert_eq!(picture.notes(), [Note::ProfileNotApplied { why }], "{} bytes", profile.len());
        assert_eq!(picture.pixels(), make::six_rgba());
    }
}

#[test]
fn pixels_in_memory_can_be_converted_too() {
    let rows = [P3[2].0.to_vec(), vec![255]].concat();
    let picture = Picture::from_rgba(1, 1, rows).unwrap();
    let profile = encoded(&ColorProfile::new_display_p3());
    let picture = picture.converted(&profile, &Unwatched).unwrap();
    assert!(difference(colours(&picture)[0], P3[2].1) < 1.0);
}

#[test]
fn a_profile_of_nonsense_curves_never_breaks_the_reading() {
    let mut profile = ColorProfile::new_display_p3();
    for curve in [vec![], vec![f32::NAN; 5], vec![0.0; 7], vec![1e30; 3]] {
        profile.green_trc = Some(ToneReprCurve::Parametric(curve));
        if let Ok(bytes) = profile.encode() {
            assert_eq!(png((3, 2), make::RGB, &make::SIX.concat(), &bytes).width(), 3);
        }
    }
}
