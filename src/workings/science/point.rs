//! A point of the packing search as the descent sees it: all x, then all y, then the radius round all, filled up
//! with noughts to the multiple of four that the descent wants.

/// Places of circles, from the centre.
pub(crate) type Places = Vec<[f64; 2]>;

/// Where the circles of a search are, and the radius of the circle round them.
#[derive(Clone)]
pub(crate) struct Point {
    count: usize,
    numbers: Vec<f64>,
}

impl Point {
    /// All circles in the middle.
    pub(crate) fn new(count: usize) -> Point {
        Point { count, numbers: vec![0.0; (2 * count + 1).next_multiple_of(4)] }
    }

    /// Circles at these places in a circle of this radius.
    pub(crate) fn of(places: &[[f64; 2]], outer: f64) -> Point {
        let mut point = Point::new(places.len());
        for (index, place) in places.iter().enumerate() {
            point.put(index, *place);
        }
        point.set_outer(outer);
        point
    }

    /// Becomes the same as another point of as many circles.
    pub(crate) fn take(&mut self, other: &Point) {
        self.numbers.copy_from_slice(&other.numbers);
    }

    /// All numbers, for the descent.
    pub(crate) fn numbers(&mut self) -> &mut [f64] {
        &mut self.numbers
    }

    /// The radius round all.
    pub(crate) fn outer(&self) -> f64 {
        self.numbers.get(2 * self.count).copied().unwrap_or(0.0)
    }

    /// Changes the radius round all.
    pub(crate) fn set_outer(&mut self, outer: f64) {
        if let Some(slot) = self.numbers.get_mut(2 * self.count) {
            *slot = outer;
        }
    }

    /// Where a circle is.
    pub(crate) fn place(&self, index: usize) -> [f64; 2] {
        let number = |at: usize| self.numbers.get(at).copied().unwrap_or(0.0);
        [number(index), number(self.count + index)]
    }

    /// Puts a circle somewhere.
    pub(crate) fn put(&mut self, index: usize, [x, y]: [f64; 2]) {
        if let Some(slot) = self.numbers.get_mut(index) {
            *slot = x;
        }
        if let Some(slot) = self.numbers.get_mut(self.count + index) {
            *slot = y;
        }
    }

    /// Lets two circles change places.
    pub(crate) fn swap(&mut self, one: usize, other: usize) {
        self.numbers.swap(one, other);
        self.numbers.swap(self.count + one, self.count + other);
    }

    /// The places of all circles.
    pub(crate) fn places(&self) -> impl Iterator<Item = [f64; 2]> {
        let second = self.numbers.iter().skip(self.count);
        self.numbers.iter().zip(second).take(self.count).map(|(x, y)| [*x, *y])
    }
}

/// The parts of such numbers: all x, all y, the radius.
pub(crate) fn parts(numbers: &[f64], count: usize) -> Option<(&[f64], &[f64], f64)> {
    let (x, rest) = numbers.split_at_checked(count)?;
    let (y, rest) = rest.split_at_checked(count)?;
    Some((x, y, *rest.first()?))
}

/// The parts of a gradient; the last begins with the slope of the radius.
pub(crate) fn slopes(numbers: &mut [f64], count: usize) -> Option<(&mut [f64], &mut [f64], &mut [f64])> {
    let (x, rest) = numbers.split_at_mut_checked(count)?;
    let (y, rest) = rest.split_at_mut_checked(count)?;
    Some((x, y, rest))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_point_is_all_x_then_all_y_then_the_radius_then_noughts() {
        let mut point = Point::of(&[[1.0, 4.0], [2.0, 5.0], [3.0, 6.0]], 7.0);
        assert_eq!(point.numbers(), [1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 0.0]);
        assert_eq!(point.outer(), 7.0);
        assert_eq!((point.place(0), point.place(2)), ([1.0, 4.0], [3.0, 6.0]));
        assert_eq!(point.places().collect::<Places>(), [[1.0, 4.0], [2.0, 5.0], [3.0, 6.0]]);
        point.swap(1, 2);
        point.put(0, [8.0, 9.0]);
        point.set_outer(10.0);
        assert_eq!(point.numbers(), [8.0, 3.0, 2.0, 9.0, 6.0, 5.0, 10.0, 0.0]);
        let mut other = Point::new(3);
        assert_eq!(other.numbers(), [0.0; 8]);
        other.take(&point);
        assert_eq!(other.numbers(), point.numbers());
    }

    #[test]
    fn numbers_are_filled_up_to_a_multiple_of_four() {
        for (count, size) in [(0, 4), (1, 4), (2, 8), (3, 8), (4, 12), (5, 12)] {
            assert_eq!(Point::new(count).numbers().len(), size);
        }
    }

    #[test]
    fn numbers_come_apart_into_their_parts_where_there_are_enough() {
        let mut numbers = [1.0, 2.0, 3.0, 4.0, 5.0, 0.0];
        assert_eq!(parts(&numbers, 2), Some(([1.0, 2.0].as_slice(), [3.0, 4.0].as_slice(), 5.0)));
        assert_eq!(parts(&numbers[..5], 2).map(|parts| parts.2), Some(5.0));
        assert_eq!(parts(&numbers[..4], 2), None);
        assert_eq!(parts(&numbers[..3], 2), None);
        let (x, y, rest) = slopes(&mut numbers, 2).unwrap();
        assert_eq!((x, y, rest), ([1.0, 2.0].as_mut(), [3.0, 4.0].as_mut(), [5.0, 0.0].as_mut()));
        assert!(slopes(&mut numbers[..3], 2).is_none());
    }
}
