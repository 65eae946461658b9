//! Another view of the same sound: played a little slower. Changes no loudness.
//!
//! Why: the network's mistakes in noise hang on chance; over two views that differ a little they average out.

/// The sound at this part of its speed (and pitch).
pub fn slower(samples: &[f32], speed: f32) -> Vec<f32> {
    let Some(last) = samples.len().checked_sub(1) else {
        return Vec::new();
    };
    let at = |index: isize| samples[index.clamp(0, last as isize) as usize];
    let length = (samples.len() as f32 / speed) as usize;
    (0..length)
        .map(|index| {
            // In f64: at f32 the place in a long sound would be off by parts of a sample.
            let place = index as f64 * f64::from(speed);
            let whole = place as isize;
            let [before, a, b, after] = [-1, 0, 1, 2].map(|step| at(whole + step));
            catmull_rom(before, a, b, after, (place - whole as f64) as f32)
        })
        .collect()
}

/// The curve from `a` to `b` at `part` of the way, smooth with their neighbours.
fn catmull_rom(before: f32, a: f32, b: f32, after: f32, part: f32) -> f32 {
    let cubic = 3.0 * (a - b) + after - before;
    let square = 2.0 * before - 5.0 * a + 4.0 * b - after;
    a + 0.5 * part * (b - before + part * (square + part * cubic))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tone_becomes_longer_and_lower_by_the_same_part() {
        let tone = |step: f32, count: usize| -> Vec<f32> {
            (0..count).map(|i| (i as f32 * step).sin()).collect()
        };
        let slow = slower(&tone(0.2, 1_000), 0.8);
        assert_eq!(slow.len(), 1_250);
        let expected = tone(0.16, 1_250);
        for (at, (got, wanted)) in slow.iter().zip(&expected).enumerate().take(1_240) {
            assert!((got - wanted).abs() < 0.01, "{at}: {got} for {wanted}");
        }
    }

    #[test]
    fn very_short_sounds_do_no_harm() {
        assert!(slower(&[], 0.9).is_empty());
        assert_eq!(slower(&[0.5], 0.9), [0.5]);
    }
}
