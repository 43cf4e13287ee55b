//! Labelled colours for naming: what people call a colour, thinned from a public survey.
//!
//! Source: the colour-naming survey of 949 names that its author placed under CC0 1.0, as redistributed in
//! the Python plotting package matplotlib. Kept are colours whose last word is a family of [`Family`] and
//! whose neighbours agree, spread evenly; the survey's own names are not used.

use super::name::Family::{self, Beige, Blue, Brown, Green, Olive, Orange, Pink, Purple, Red, Teal, Yellow};

/// Colours as `0xRRGGBB` with the family that people put them in.
#[rustfmt::skip]
#[expect(clippy::unreadable_literal, reason = "colours are read in six digits")]
pub(super) const POINTS: [(u32, Family); 254] = [
    (0x610023, Red), (0xff000d, Red), (0xb9484e, Red), (0x8f1402, Red), (0xb0054b, Red),
    (0xbe0119, Red), (0xf5054f, Red), (0xff474c, Red), (0xaf2f0d, Red), (0xdb5856, Red),
    (0x7b0323, Red), (0xa24857, Red), (0xec2d01, Red), (0xbe013c, Red), (0x9e3623, Red),
    (0xa90308, Red), (0xc04e01, Orange), (0xffab0f, Orange), (0xfe4b03, Orange), (0xf0833a, Orange),
    (0xffb16d, Orange), (0xc87606, Orange), (0xff9408, Orange), (0xca6641, Orange), (0xdc4d01, Orange),
    (0x1d0200, Brown), (0xae8b0c, Brown), (0x60460f, Brown), (0xa9561e, Brown), (0x673a3f, Brown),
    (0x7f7053, Brown), (0x4a0100, Brown), (0x886806, Brown), (0xad8150, Brown), (0x341c02, Brown),
    (0x7f4e1e, Brown), (0x696112, Brown), (0xb27a01, Brown), (0x544e03, Brown), (0x653700, Brown),
    (0x9a6200, Brown), (0xb29705, Yellow), (0xcfff04, Yellow), (0xfce166, Yellow), (0xc7c10c, Yellow),
    (0xfdb915, Yellow), (0xfdff52, Yellow), (0xd0e429, Yellow), (0xd5ab09, Yellow), (0xffff84, Yellow),
    (0xffda03, Yellow), (0xddd618, Yellow), (0xbfac05, Yellow), (0xfffd01, Yellow), (0xfec615, Yellow),
    (0xcb9d06, Yellow), (0xd5b60a, Yellow), (0xfdee73, Yellow), (0xf7d560, Yellow), (0x373e02, Olive),
    (0xe6f2a2, Olive), (0x9b8f55, Olive), (0x9cbb04, Olive), (0x6e750e, Olive), (0xacbf69, Olive),
    (0xaaa662, Olive), (0xb9cc81, Olive), (0x002d04, Green), (0x0aff02, Green), (0x82a67d, Green),
    (0xccfd7f, Green), (0x089404, Green), (0x12e193, Green), (0x606602, Green), (0xa8b504, Green),
    (0x11875d, Green), (0x9be5aa, Green), (0xa8ff04, Green), (0x02590f, Green), (0x76cd26, Green),
    (0x728f02, Green), (0x2baf6a, Green), (0x8cff9e, Green), (0xa9be70, Green), (0x0bf77d, Green),
    (0x02c14d, Green), (0x75b84f, Green), (0xd1ffbd, Green), (0x0add08, Green), (0x3c4d03, Green),
    (0xb0dd16, Green), (0x9af764, Green), (0x2a7e19, Green), (0x548d44, Green), (0x0a481e, Green),
    (0x5ca904, Green), (0x658d6d, Green), (0x667c3e, Green), (0x4efd54, Green), (0x05ffa6, Green),
    (0x74a662, Green), (0x61e160, Green), (0xb2fba5, Green), (0x84b701, Green), (0x677a04, Green),
    (0x39ad48, Green), (0x6fc276, Green), (0x21c36f, Green), (0x61de2a, Green), (0x89a203, Green),
    (0x3d9973, Green), (0x0cdc73, Green), (0x15b01a, Green), (0xb1d27b, Green), (0x048243, Green),
    (0x58bc08, Green), (0x7efbb3, Green), (0x009337, Green), (0xb7e1a1, Green), (0x99cc04, Green),
    (0x8ee53f, Green), (0x65fe08, Green), (0x4b5d16, Green), (0x88b378, Green), (0x63a950, Green),
    (0x25a36f, Green), (0x2fef10, Green), (0x749551, Green), (0x75fd63, Green), (0x014600, Green),
    (0xb9ff66, Green), (0x51b73b, Green), (0x419c03, Green), (0x89fe05, Green), (0x90b134, Green),
    (0xb6ffbb, Green), (0x889717, Green), (0x98f6b0, Green), (0xa4be5c, Green), (0x728639, Green),
    (0x00555a, Teal), (0x8cffdb, Teal), (0x5f9e8f, Teal), (0x00ffff, Teal), (0x01f9c6, Teal),
    (0x0a888a, Teal), (0x90e4c1, Teal), (0x017374, Teal), (0x000133, Blue), (0xd7fffe, Blue),
    (0x601ef9, Blue), (0x507b9c, Blue), (0x02ccfe, Blue), (0x3e82fc, Blue), (0x030aa7, Blue),
    (0x014182, Blue), (0x9dbcd4, Blue), (0x0804f9, Blue), (0x8f99fb, Blue), (0x29465b, Blue),
    (0x0e87cc, Blue), (0x02066f, Blue), (0x8af1fe, Blue), (0x4b57db, Blue), (0x06b1c4, Blue),
    (0x3a18b1, Blue), (0x0343df, Blue), (0x75bbfd, Blue), (0x3b5b92, Blue), (0x5d21d0, Blue),
    (0x2138ab, Blue), (0x01889f, Blue), (0x02d8e9, Blue), (0x3a2efe, Blue), (0x5170d7, Blue),
    (0x95d0fc, Blue), (0x03719c, Blue), (0x8e82fe, Blue), (0x276ab3, Blue), (0x010fcc, Blue),
    (0x0165fc, Blue), (0x069af3, Blue), (0xa2bffe, Blue), (0x015482, Blue), (0x658cbb, Blue),
    (0x6140ef, Blue), (0x6488ea, Blue), (0x01153e, Blue), (0x6b8ba4, Blue), (0x2242c7, Blue),
    (0x0339f8, Blue), (0x0c1793, Blue), (0x448ee4, Blue), (0x280137, Purple), (0xfed0fc, Purple),
    (0xbe03fd, Purple), (0x9d5783, Purple), (0x6241c7, Purple), (0xbf77f6, Purple), (0xa00498, Purple),
    (0x820747, Purple), (0xb790d4, Purple), (0x4b006e, Purple), (0x8d5eb7, Purple), (0x76424e, Purple),
    (0x751973, Purple), (0x826d8c, Purple), (0x580f41, Purple), (0x9e43a2, Purple), (0x9900fa, Purple),
    (0x7e1e9c, Purple), (0xd6b4fc, Purple), (0xac86a8, Purple), (0xa552e6, Purple), (0x9c6da5, Purple),
    (0xc95efb, Purple), (0xca9bf7, Purple), (0x4e0550, Purple), (0x3f012c, Purple), (0x9d0759, Pink),
    (0xffd1df, Pink), (0xff08e8, Pink), (0xfc5a50, Pink), (0xfe83cc, Pink), (0xff0789, Pink),
    (0xc27e79, Pink), (0xdf4ec8, Pink), (0xfea993, Pink), (0xc74767, Pink), (0xf7879a, Pink),
    (0xfb5581, Pink), (0xfe01b1, Pink), (0xfb5ffc, Pink), (0xcb0162, Pink), (0xde9dac, Pink),
    (0xd725de, Pink), (0xce5dae, Pink), (0xdd85d7, Pink), (0xf075e6, Pink), (0xffb2d0, Pink),
    (0xd1768f, Pink), (0xfe46a5, Pink), (0xff69af, Pink), (0xff796c, Pink), (0xc20078, Pink),
    (0xf504c9, Pink), (0xa88f59, Beige), (0xfeffca, Beige), (0xe2ca76, Beige), (0xfff39a, Beige),
    (0xe6daa6, Beige), (0xfbeeac, Beige), (0xfffeb6, Beige), (0xffffc2, Beige),
];
