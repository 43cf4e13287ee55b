//! The formats that are read, and the endings that their files bear.

use std::fmt;

/// A picture format that is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Format {
    /// PNG (ISO/IEC 15948), animated or not.
    Png,
    /// JPEG (ITU-T T.81).
    Jpeg,
    /// GIF.
    Gif,
    /// BMP.
    Bmp,
    /// WebP (RFC 9649).
    Webp,
    /// `OpenRaster`, of which the merged picture is used.
    Ora,
}

impl Format {
    /// Says whether a file of this name may hold this format: its ending is the format's own, or says nothing.
    ///
    /// ```
    /// use squarewright::picture::Format;
    ///
    /// assert!(Format::Jpeg.fits("heron.JPG") && Format::Jpeg.fits("heron"));
    /// assert!(!Format::Jpeg.fits("heron.png"));
    /// ```
    pub fn fits(self, name: &str) -> bool {
        let Some((_, ending)) = name.rsplit_once('.') else { return true };
        let is_own = |format: Self| format.endings().iter().any(|own| ending.eq_ignore_ascii_case(own));
        is_own(self) || !Self::ALL.into_iter().any(is_own)
    }

    const ALL: [Self; 6] = [Self::Png, Self::Jpeg, Self::Gif, Self::Bmp, Self::Webp, Self::Ora];

    fn endings(self) -> &'static [&'static str] {
        match self {
            Self::Png => &["png", "apng"],
            Self::Jpeg => &["jpg", "jpeg", "jpe", "jfif"],
            Self::Gif => &["gif"],
            Self::Bmp => &["bmp", "dib"],
            Self::Webp => &["webp"],
            Self::Ora => &["ora"],
        }
    }
}

impl fmt::Display for Format {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Png => "PNG",
            Self::Jpeg => "JPEG",
            Self::Gif => "GIF",
            Self::Bmp => "BMP",
            Self::Webp => "WebP",
            Self::Ora => "OpenRaster",
        })
    }
}
