//! A small seeded generator (SplitMix64, Steele et al. 2014): the same numbers on every machine.

/// Where the generator stands.
pub(crate) struct Seed(u64);

impl Seed {
    /// A generator for `count` circles.
    pub(crate) fn new(count: usize) -> Seed {
        Seed(0x9E37_79B9_7F4A_7C15 ^ count as u64)
    }

    /// A number from 0 to below 1.
    pub(crate) fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((mixed ^ (mixed >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    /// A whole number below `limit`.
    pub(crate) fn below(&mut self, limit: usize) -> usize {
        ((self.next() * limit as f64) as usize).min(limit.saturating_sub(1))
    }

    /// A place in the disc of this radius about the origin. No sine is asked, whose last digit differs from
    /// machine to machine.
    pub(crate) fn place(&mut self, reach: f64) -> [f64; 2] {
        loop {
            let (x, y) = (2.0 * self.next() - 1.0, 2.0 * self.next() - 1.0);
            if x * x + y * y <= 1.0 {
                return [x * reach, y * reach];
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_generator_gives_its_published_numbers() {
        // First outputs for the seed 0 of the reference implementation (S. Vigna, splitmix64.c), upper 53 bits.
        let mut seed = Seed(0);
        for expected in [0xE220_A839_7B1D_CDAF_u64, 0x6E78_9E6A_A1B9_65F4, 0x06C4_5D18_8009_454F] {
            assert_eq!(seed.next(), (expected >> 11) as f64 / (1u64 << 53) as f64);
        }
    }

    #[test]
    fn each_count_of_circles_has_its_own_numbers() {
        // From the definition: the state is the golden gamma 2⁶⁴/φ, whose bits the count changes.
        assert_eq!(Seed::new(0).0, 0x9E37_79B9_7F4A_7C15);
        assert_eq!(Seed::new(7).0, 0x9E37_79B9_7F4A_7C12);
    }

    #[test]
    fn whole_numbers_are_below_their_limit_and_equally_frequent() {
        let mut seed = Seed::new(1);
        assert_eq!((seed.below(0), seed.below(1)), (0, 0));
        let mut counts = [0; 7];
        for _ in 0..7000 {
            counts[seed.below(7)] += 1;
        }
        // A thousand each, give or take four deviations √(7000 · 6/49).
        assert!(counts.iter().all(|count| (883..1117).contains(count)), "{counts:?}");
    }

    #[test]
    fn places_fill_a_disc_evenly() {
        let mut seed = Seed::new(2);
        let (reach, count) = (2.5, 8000);
        let (mut inside, mut sums) = (0, [0.0; 3]);
        for _ in 0..count {
            let [x, y] = seed.place(reach);
            assert!(x * x + y * y <= reach * reach);
            inside += usize::from(x * x + y * y <= reach * reach / 4.0);
            sums = [sums[0] + x, sums[1] + y, sums[2] + x * y];
        }
        // A quarter of the area is within half the radius; means are nought: with four deviations, √(3/16 n), and
        // √n reach/2 for a place and reach²/√24 for the product.
        let many = f64::from(count).sqrt();
        assert!((inside as f64 - f64::from(count) / 4.0).abs() < 4.0 * many * (3.0f64 / 16.0).sqrt());
        assert!(sums[0].abs() < 2.0 * reach * many && sums[1].abs() < 2.0 * reach * many, "{sums:?}");
        assert!(sums[2].abs() < 4.0 * reach * reach * many / 24f64.sqrt(), "{sums:?}");
    }
}
