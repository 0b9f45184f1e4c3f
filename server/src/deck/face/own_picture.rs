//! A teacher's own picture on a card. It was drawn anew as a small PNG on the card's ground
//! (`deck::own`), and stands in the drawing itself, so that no request tells what somebody drew.

use super::paper::{CENTRE_X, CENTRE_Y, WIDTH};
use crate::deck::own::OwnPicture;
use crate::deck::svg::Drawing;

/// Height that a picture may take up, in units of the card.
const HEIGHT: f64 = 262.0;

pub(super) fn draw(to: &mut Drawing, picture: &OwnPicture) -> Option<()> {
    if !picture.is_plain() || picture.width == 0 || picture.height == 0 {
        return None;
    }
    let (width, height) = (f64::from(picture.width), f64::from(picture.height));
    let scale = (WIDTH / width).min(HEIGHT / height);
    let size = (width * scale, height * scale);
    let at = (CENTRE_X - size.0 / 2.0, CENTRE_Y - size.1 / 2.0);
    to.image("picture", at, size, &picture.png);
    Some(())
}
