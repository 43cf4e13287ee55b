//! What is worth saying about a picture that can be used all the same.

use super::Format;

/// A remark about a picture that was read: the maker should know, and may go on.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum Note {
    /// The file is an animation, of which one frame is used.
    #[error("it is an animation of {frames} frames: the first is used")]
    FirstFrame {
        /// How many frames the file holds.
        frames: u32,
    },
    /// The file holds a colour profile that cannot be used; its pixels were taken as sRGB.
    #[error("it carries a colour profile that cannot be used ({why}): its colours are read as sRGB")]
    ProfileNotApplied {
        /// What is wrong with the profile.
        why: &'static str,
    },
    /// The pixels were stored as print inks.
    #[error("it holds print colours (CMYK), turned into screen colours by rule of thumb: check them")]
    PrintColours,
    /// Some pixels name a colour that the palette of the file does not have.
    #[error("some of its pixels name a colour that it does not list: they are read as black")]
    UnlistedColours,
    /// The file states a pixel density that square pixels cannot have.
    #[error("it states pixels that are not square: they are read as square")]
    UnevenDensity,
    /// The name of the file promises another format.
    #[error("it is a {format} picture under another ending")]
    Misnamed {
        /// What the file is.
        format: Format,
    },
    /// The packed pixels break their code somewhere, though all of them are there.
    #[error("its packed pixels are damaged: look for wrong colours")]
    Damaged,
    /// Only the upper part could be read.
    #[error("only the top {percent} % of its rows could be read: the rest is left transparent")]
    Cut {
        /// The whole percent of rows that were read.
        percent: u8,
    },
    /// The rows are all there, but not in their finest form.
    #[error("it stops before its finest details: what is there is used")]
    Coarse,
    /// Everything but the end of the file is there.
    #[error("its end is missing, but all of its rows are there")]
    NoEnd,
}
