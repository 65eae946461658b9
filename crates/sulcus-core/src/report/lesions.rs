//! Lumps and sores in the report for the clinic: where, how large, of what look; with the letters by which the picture
//! shows them.

use super::clinical::{doubt, section};
use super::content::Block;
use super::picture;
use crate::record::{Record, lesion};

pub(super) fn blocks(record: &Record) -> Vec<Block> {
    let lesions = lesion::lesions(record);
    let rows = lesions
        .iter()
        .enumerate()
        .map(|(at, lesion)| {
            let unsure = lesion
                .described
                .iter()
                .find(|(_, charted)| !doubt(charted).is_empty())
                .map_or(lesion.charted, |(_, charted)| charted);
            vec![
                picture::lesion_letter(at),
                format!(
                    "{}{}",
                    lesion.finding.kind.spec().title,
                    doubt(lesion.charted)
                ),
                lesion.place(),
                lesion.size().unwrap_or_else(|| "not measured".into()),
                match lesion.look() {
                    look if look.is_empty() => "not described".into(),
                    look => format!("{look}{}", doubt(unsure)),
                },
            ]
        })
        .collect();
    section(
        "Lesions",
        &["In the picture", "What", "Where", "Size", "Look"],
        &[12, 14, 22, 18, 34],
        rows,
    )
}
