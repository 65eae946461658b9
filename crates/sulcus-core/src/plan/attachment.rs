//! Attachment loss at a site: from the cemento-enamel junction to the bottom of the pocket, in millimetres.
//! Knows one site at a time; which sites a tooth has, and what the loss means, is told elsewhere.
//!
//! Sources: depth + recession [VET360-17]; pseudopocket [WIKIVET-PPD]; taking enlargement off is from memory.
//! Invariant: more depth or more recession never gives less loss.

use serde::Serialize;

/// How far the gum stands above the cemento-enamel junction.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Enlargement {
    Mm(u8),
    /// It is there; how much was not said.
    Unsized,
}

/// A loss that is known within bounds; both ends are equal where it is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Loss {
    pub at_least_mm: u8,
    pub at_most_mm: u8,
}

/// Loss at a site with a depth reading. `normal_mm` is the deepest normal sulcus of the species.
pub fn loss(
    depth_mm: u8,
    recession_mm: Option<u8>,
    enlargement: Option<Enlargement>,
    normal_mm: u8,
) -> Loss {
    let recession = recession_mm.unwrap_or(0);
    let known = |above_mm: u8| {
        let depth = depth_mm.saturating_sub(above_mm);
        // Without recession the margin is taken to lie at the junction or above it: a normal sulcus is no loss.
        if recession == 0 && depth <= normal_mm {
            0
        } else {
            depth.saturating_add(recession)
        }
    };
    match enlargement {
        None => exactly(known(0)),
        Some(Enlargement::Mm(above)) => exactly(known(above)),
        // The swelling may explain all of the depth or none of it.
        Some(Enlargement::Unsized) => Loss {
            at_least_mm: if recession > 0 { recession } else { 0 },
            at_most_mm: known(0),
        },
    }
}

fn exactly(mm: u8) -> Loss {
    Loss {
        at_least_mm: mm,
        at_most_mm: mm,
    }
}

/// A depth beyond normal that enlargement explains wholly.
pub fn is_pseudopocket(
    depth_mm: u8,
    recession_mm: Option<u8>,
    enlargement: Option<Enlargement>,
    normal_mm: u8,
) -> bool {
    depth_mm > normal_mm
        && matches!(enlargement, Some(Enlargement::Mm(_)))
        && loss(depth_mm, recession_mm, enlargement, normal_mm).at_most_mm == 0
}
