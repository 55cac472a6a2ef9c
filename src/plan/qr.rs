//! A text as a square code (ISO/IEC 18004, by the crate `qrcodegen`), as one path of an SVG.

use qrcodegen::{QrCode, QrCodeEcc};
use serde::Serialize;

/// A square code with its quiet zone of four modules.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Square {
    /// Modules on a side, quiet zone included.
    pub side: i32,
    /// Dark modules, row by row, as path data.
    pub path: String,
}

const QUIET: i32 = 4;

/// The square code of a text; `None` if it is too long for one. A quarter of the modules may be lost to scratches and oil.
pub fn square(text: &str) -> Option<Square> {
    let code = QrCode::encode_text(text, QrCodeEcc::Quartile).ok()?;
    let mut path = String::new();
    for y in 0..code.size() {
        let mut x = 0;
        while x < code.size() {
            let run = (x..code.size()).take_while(|x| code.get_module(*x, y)).count();
            let run = i32::try_from(run).unwrap_or(0);
            if run > 0 {
                path.push_str(&format!("M{} {}h{run}v1h-{run}z", x + QUIET, y + QUIET));
            }
            x += run.max(1);
        }
    }
    Some(Square { side: code.size() + 2 * QUIET, path })
}
