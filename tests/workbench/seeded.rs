//! Numbers that look random and are the same on every run and machine.

/// A generator (xorshift with a multiplication) that never reads a clock.
pub struct Seeded(u64);

impl Seeded {
    /// Starts from a seed; nought, from which it could not leave, is replaced.
    pub fn new(seed: u64) -> Seeded {
        Seeded(if seed == 0 { 0x9E37_79B9_7F4A_7C15 } else { seed })
    }

    /// The next number.
    pub fn next(&mut self) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_F491_4F6C_DD1D)
    }

    /// A number below `limit`, which is not nought.
    pub fn below(&mut self, limit: usize) -> usize {
        usize::try_from(self.next() % limit as u64).expect("it is below a usize")
    }

    /// One of several.
    pub fn pick<'a, T>(&mut self, from: &'a [T]) -> &'a T {
        &from[self.below(from.len())]
    }
}
