//! Makes a teacher's picture tame: whatever comes in is decoded within bounds and drawn anew as a small
//! PNG of at most 256 colours on the card's own ground. Nothing of the file itself goes out again:
//! no metadata (a photograph tells where it was taken), no script, no link.

use super::picture_svg;
use crate::deck::face::GROUNDS;
use crate::limits::own::{
    CARD_SIDES, DECODE_BYTES_MAX, PICTURE_BYTES_MAX, PIXELS_MAX, PNG_BYTES_MAX, SIDE_PIXELS_MAX,
    SVG_BYTES_MAX,
};
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD as BASE64;
use image::imageops::FilterType;
use image::{DynamicImage, ImageDecoder, ImageFormat, ImageReader, Limits, RgbImage, RgbaImage};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::io::Cursor;

/// A picture as it lies on a card.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OwnPicture {
    /// The word for it, which is said before the first round and shown after each.
    pub word: String,
    /// Pixels across.
    pub width: u16,
    /// Pixels down.
    pub height: u16,
    /// The PNG file in base64.
    pub png: String,
}

impl OwnPicture {
    /// The PNG file; `None` if the text is no base64.
    pub fn bytes(&self) -> Option<Vec<u8>> {
        BASE64.decode(&self.png).ok()
    }

    /// Whether a child sees the same picture.
    pub fn is_drawn_like(&self, other: &OwnPicture) -> bool {
        self.png == other.png
    }

    /// Whether the text can stand in an attribute of a drawing.
    pub(in crate::deck) fn is_plain(&self) -> bool {
        !self.png.is_empty()
            && self.png.bytes().all(|byte| byte.is_ascii_alphanumeric() || b"+/=".contains(&byte))
    }
}

/// Why a picture cannot be used; the sentence follows the file's name.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[allow(missing_docs)] // Each sentence says what its variant means.
pub enum PictureFault {
    #[error("it is larger than {} MiB. Save it smaller.", PICTURE_BYTES_MAX / 1024 / 1024)]
    TooLarge,
    #[error("it is neither PNG nor JPEG nor SVG. Save it as one of these.")]
    UnknownFormat,
    #[error("it is larger than {SIDE_PIXELS_MAX} pixels on a side or {} million in all. Save it smaller.", PIXELS_MAX / 1_000_000)]
    TooManyPixels,
    #[error("it is broken: its picture cannot be read to the end. Save it anew.")]
    Broken,
    #[error("it shows nothing.")]
    Blank,
    #[error("as a drawing it is larger than {} MiB. Save it as PNG.", SVG_BYTES_MAX / 1024 / 1024)]
    DrawingTooLarge,
    #[error("it is no well-formed SVG. Save it anew, or as PNG.")]
    NotSvg,
    #[error("it holds `{what}`, which a card's drawing may not have. Save it as PNG.")]
    NotAllowed { what: String },
    #[error("it reaches for something outside of itself. Save it as PNG.")]
    Link,
    #[error("its parts lie too deep in each other, or in a circle. Save it as PNG.")]
    TooDeep,
    #[error("it has too many parts. Save it as PNG.")]
    TooManyParts,
}

/// Draws a picture anew for a card. `word` is what it shows. Takes up to a second and 150 MB for the
/// largest pictures, so a server does one at a time, off its runtime.
///
/// # Errors
/// Why it cannot be used.
pub fn tame(file: &[u8], word: &str) -> Result<OwnPicture, PictureFault> {
    if file.len() > PICTURE_BYTES_MAX {
        return Err(PictureFault::TooLarge);
    }
    // The file's first bytes say what it is; its name may say anything.
    let format = match file {
        [0x89, b'P', b'N', b'G', ..] => Some(ImageFormat::Png),
        [0xff, 0xd8, 0xff, ..] => Some(ImageFormat::Jpeg),
        _ => None,
    };
    let (width, height, png) = match format {
        Some(format) => smallest(&decode(file, format)?)?,
        None => {
            let tree = picture_svg::parse(file)?;
            let mut fitting = None;
            for side in CARD_SIDES {
                let drawn = encode(&on_ground(&picture_svg::draw(&tree, side)?))?;
                if drawn.2.len() <= PNG_BYTES_MAX {
                    fitting = Some(drawn);
                    break;
                }
            }
            fitting.ok_or(PictureFault::Broken)?
        }
    };
    Ok(OwnPicture { word: word.to_owned(), width, height, png: BASE64.encode(png) })
}

/// Reads a photograph or a painted picture, turned as its camera says.
fn decode(file: &[u8], format: ImageFormat) -> Result<DynamicImage, PictureFault> {
    let mut reader = ImageReader::with_format(Cursor::new(file), format);
    let mut limits = Limits::default();
    limits.max_image_width = Some(SIDE_PIXELS_MAX);
    limits.max_image_height = Some(SIDE_PIXELS_MAX);
    limits.max_alloc = Some(DECODE_BYTES_MAX);
    reader.limits(limits);
    let fault = |error| match error {
        image::ImageError::Limits(_) => PictureFault::TooManyPixels,
        _ => PictureFault::Broken,
    };
    let mut decoder = reader.into_decoder().map_err(fault)?;
    let (width, height) = decoder.dimensions();
    if u64::from(width) * u64::from(height) > PIXELS_MAX {
        return Err(PictureFault::TooManyPixels);
    }
    let turned = decoder.orientation().map_err(fault)?;
    let mut picture = DynamicImage::from_decoder(decoder).map_err(fault)?;
    picture.apply_orientation(turned);
    let ground = match picture.color().has_alpha() {
        true => on_ground(&picture.into_rgba8()),
        false => picture.into_rgb8(),
    };
    Ok(DynamicImage::ImageRgb8(ground))
}

/// What is see-through shows the card's ground.
fn on_ground(picture: &RgbaImage) -> RgbImage {
    let ground = ground();
    RgbImage::from_fn(picture.width(), picture.height(), |x, y| {
        let [red, green, blue, alpha] = picture.get_pixel(x, y).0;
        let mix = |colour: u8, under: u8| {
            let alpha = u32::from(alpha);
            let sum = u32::from(colour) * alpha + u32::from(under) * (255 - alpha);
            u8::try_from((sum + 127) / 255).unwrap_or(u8::MAX)
        };
        image::Rgb([mix(red, ground[0]), mix(green, ground[1]), mix(blue, ground[2])])
    })
}

/// The card's ground as three bytes.
fn ground() -> [u8; 3] {
    let digits = GROUNDS[0].trim_start_matches('#');
    let colour = u32::from_str_radix(digits, 16).unwrap_or(0xff_ffff);
    let [_, red, green, blue] = colour.to_be_bytes();
    [red, green, blue]
}

/// The largest of the sides on a card whose file is small enough.
fn smallest(picture: &DynamicImage) -> Result<(u16, u16, Vec<u8>), PictureFault> {
    for side in CARD_SIDES {
        let longer = picture.width().max(picture.height());
        let drawn = if longer <= side {
            encode(&picture.to_rgb8())?
        } else {
            let scaled = |length: u32| (length * side / longer).max(1);
            let (width, height) = (scaled(picture.width()), scaled(picture.height()));
            encode(&picture.resize_exact(width, height, FilterType::CatmullRom).into_rgb8())?
        };
        if drawn.2.len() <= PNG_BYTES_MAX {
            return Ok(drawn);
        }
    }
    Err(PictureFault::Broken)
}

/// A PNG file with a palette: exact for up to 256 colours, otherwise of the 256 nearest by neural
/// quantisation. The same pixels always give the same file.
fn encode(picture: &RgbImage) -> Result<(u16, u16, Vec<u8>), PictureFault> {
    let (palette, places) = palette(picture)?;
    let mut file = Vec::new();
    let mut encoder = png::Encoder::new(&mut file, picture.width(), picture.height());
    encoder.set_color(png::ColorType::Indexed);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_palette(palette);
    encoder.set_compression(png::Compression::High);
    let written = encoder.write_header().and_then(|mut writer| writer.write_image_data(&places));
    written.map_err(|_| PictureFault::Broken)?;
    let side = |length| u16::try_from(length).map_err(|_| PictureFault::TooManyPixels);
    Ok((side(picture.width())?, side(picture.height())?, file))
}

/// Colours, and each pixel's place among them.
fn palette(picture: &RgbImage) -> Result<(Vec<u8>, Vec<u8>), PictureFault> {
    let mut exact: BTreeMap<[u8; 3], u8> = BTreeMap::new();
    let mut few = true;
    for pixel in picture.pixels() {
        if let Ok(next) = u8::try_from(exact.len()) {
            exact.entry(pixel.0).or_insert(next);
        } else if !exact.contains_key(&pixel.0) {
            few = false;
            break;
        }
    }
    if exact.len() < 2 {
        return Err(PictureFault::Blank);
    }
    if few {
        let mut colours = vec![[0; 3]; exact.len()];
        for (colour, place) in &exact {
            colours[usize::from(*place)] = *colour;
        }
        let places = picture.pixels().map(|pixel| exact.get(&pixel.0).copied().unwrap_or(0));
        return Ok((colours.concat(), places.collect()));
    }
    // Every tenth pixel teaches the palette: the crate's own advice for speed.
    let opaque: Vec<u8> =
        picture.pixels().flat_map(|pixel| [pixel.0[0], pixel.0[1], pixel.0[2], 255]).collect();
    let network = color_quant::NeuQuant::new(10, 256, &opaque);
    let place = |pixel: &[u8]| u8::try_from(network.index_of(pixel)).unwrap_or(0);
    let places = opaque.chunks_exact(4).map(place).collect();
    Ok((network.color_map_rgb(), places))
}
