//! Turns colours that a profile describes into sRGB (ICC.1:2022, IEC 61966-2-1).

use moxcms::{ColorProfile, DataColorSpace, Layout, Transform8BitExecutor, TransformOptions};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;

use super::limits;
use crate::fault::{Result, Watch};

/// Pixels that are converted at a time.
const BLOCK: usize = 1 << 16;

/// Levels by which a profile may differ from sRGB and still be taken for it: its pixels then stay as they are.
const SAME: u8 = 1;

/// Why a profile cannot be used, in a few words.
pub(super) type Unusable = &'static str;

/// Converts pixels of four bytes; `Err` within says why the profile cannot be used.
pub(super) fn apply(
    pixels: &mut [[u8; 4]],
    profile: &[u8],
    watch: &dyn Watch,
) -> Result<Result<(), Unusable>> {
    // the profile is as foreign as the picture
    let attempt = catch_unwind(AssertUnwindSafe(|| Conversion::new(pixels, profile)));
    let conversion = match attempt.unwrap_or(Err("its content makes no sense")) {
        Ok(conversion) => conversion,
        Err(why) => return Ok(Err(why)),
    };
    let blocks = pixels.len().div_ceil(BLOCK);
    let mut aside = vec![[0; 4]; pixels.len().min(BLOCK)];
    for (done, block) in pixels.chunks_mut(BLOCK).enumerate() {
        watch.check(done as f32 / blocks as f32)?;
        conversion.run(block, &mut aside[..block.len()]);
    }
    Ok(Ok(()))
}

/// What is done to each pixel.
enum Conversion {
    /// Nothing: the profile is sRGB in all but name.
    None,
    /// A table of the 256 greys.
    Greys(Vec<[u8; 3]>),
    /// Any change of red, green and blue.
    Colours(Arc<Transform8BitExecutor>),
}

impl Conversion {
    fn new(pixels: &[[u8; 4]], profile: &[u8]) -> Result<Self, Unusable> {
        if profile.len() > limits::PROFILE_BYTES {
            return Err("it is too big");
        }
        let profile = ColorProfile::new_from_slice(profile).map_err(|_| "its content makes no sense")?;
        let is_grey = |&[red, green, blue, _]: &[u8; 4]| red == green && green == blue;
        let conversion = match profile.color_space {
            DataColorSpace::Rgb => Self::Colours(transform(&profile, Layout::Rgba, Layout::Rgba)?),
            DataColorSpace::Gray if pixels.iter().all(is_grey) => Self::greys(&profile)?,
            DataColorSpace::Gray => return Err("it is for grey pictures"),
            DataColorSpace::Cmyk => return Err("it is for print inks"),
            _ => return Err("it is for another kind of colours"),
        };
        Ok(if conversion.is_idle() { Self::None } else { conversion })
    }

    fn greys(profile: &ColorProfile) -> Result<Self, Unusable> {
        let greys: Vec<u8> = (0..=u8::MAX).collect();
        let mut colours = [0; 3 * 256];
        let transform = transform(profile, Layout::Gray, Layout::Rgb)?;
        transform.transform(&greys, &mut colours).map_err(|_| "its content makes no sense")?;
        Ok(Self::Greys(colours.as_chunks().0.to_vec()))
    }

    /// Says whether colours spread over the whole range stay where they are.
    fn is_idle(&self) -> bool {
        let levels = || (0..=u8::MAX).step_by(15);
        let colours = levels().flat_map(|red| {
            levels().flat_map(move |green| levels().map(move |blue| [red, green, blue, u8::MAX]))
        });
        let colours: Vec<[u8; 4]> = match self {
            Self::Greys(_) => (0..=u8::MAX).map(|grey| [grey, grey, grey, u8::MAX]).collect(),
            _ => colours.collect(),
        };
        let mut converted = colours.clone();
        self.run(&mut converted, &mut vec![[0; 4]; colours.len()]);
        let pairs = colours.as_flattened().iter().zip(converted.as_flattened());
        pairs.into_iter().all(|(before, after)| before.abs_diff(*after) <= SAME)
    }

    fn run(&self, pixels: &mut [[u8; 4]], aside: &mut [[u8; 4]]) {
        match self {
            Self::None => {}
            Self::Greys(table) => {
                for [red, green, blue, _] in pixels {
                    [*red, *green, *blue] = table[usize::from(*red)];
                }
            }
            Self::Colours(transform) => {
                aside.copy_from_slice(pixels);
                if transform.transform(aside.as_flattened(), pixels.as_flattened_mut()).is_err() {
                    unreachable!("both hold whole pixels of four bytes, and as many");
                }
            }
        }
    }
}

fn transform(
    profile: &ColorProfile,
    from: Layout,
    to: Layout,
) -> Result<Arc<Transform8BitExecutor>, Unusable> {
    let srgb = ColorProfile::new_srgb();
    profile
        .create_transform_8bit(from, &srgb, to, TransformOptions::default())
        .map_err(|_| "it does not say how its colours look")
}
