//! Places in a picture as they are typed: whole pixels between commas.

use smallcast::error::{Error, Result};
use smallcast::reference::Area;

/// A pixel of the picture: x and y, whole numbers.
pub fn pixel(option: &'static str, text: &str) -> Result<(f64, f64)> {
    let numbers: Option<Vec<u32>> = text.split(',').map(|part| part.trim().parse().ok()).collect();
    match numbers.as_deref() {
        Some(&[x, y]) => Ok((f64::from(x), f64::from(y))),
        _ => Err(Error::BadValue {
            option,
            value: text.into(),
            why: "this is not a pixel".into(),
            right: "write x and y in whole pixels of the upright picture, such as 120,340".into(),
        }),
    }
}

/// Reads `X,Y,WIDTH,HEIGHT` in whole pixels.
pub fn area(option: &'static str, text: &str) -> Result<Area> {
    let numbers: Option<Vec<u32>> = text.split(',').map(|part| part.trim().parse().ok()).collect();
    match numbers.as_deref() {
        Some(&[x, y, width, height]) if width > 0 && height > 0 => {
            let [x, y, width, height] = [x, y, width, height].map(f64::from);
            Ok(Area { x, y, width, height })
        }
        _ => Err(Error::BadValue {
            option,
            value: text.into(),
            why: "this is not an area".into(),
            right: "write x, y, width and height in whole pixels, such as 120,40,600,980".into(),
        }),
    }
}
