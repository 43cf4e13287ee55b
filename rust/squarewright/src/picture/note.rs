//! What is worth saying about a picture that was read without trouble.

/// A remark about a picture; nothing is wrong, but the maker should know.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum Note {
    /// The file is an animation, of which one frame is used.
    #[error("it is an animation of {frames} frames: the first is used")]
    FirstFrame {
        /// How many frames the file holds.
        frames: u32,
    },
    /// The file holds a colour profile; its pixels were taken as sRGB all the same.
    #[error("it carries a colour profile that was not applied: its colours are read as sRGB")]
    ProfileNotApplied,
}
