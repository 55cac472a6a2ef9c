//! Closed intervals of non-negative amounts: least and most, best case and worst case.

/// From least to most. `hi` is infinite where no upper bound was given.
#[derive(Copy, Clone, Debug, Default, PartialEq)]
pub struct Interval {
    /// Least.
    pub lo: f64,
    /// Most.
    pub hi: f64,
}

impl Interval {
    /// Nothing at all.
    pub const ZERO: Interval = Interval { lo: 0.0, hi: 0.0 };

    /// From `lo` to `hi`.
    pub fn new(lo: f64, hi: f64) -> Self {
        Self { lo, hi }
    }

    /// One exact amount.
    pub fn exact(value: f64) -> Self {
        Self { lo: value, hi: value }
    }

    /// Least and most of `a / b`; `None` if `b` reaches zero.
    pub fn over(self, other: Interval) -> Option<Interval> {
        (other.lo > 0.0).then(|| Interval::new(self.lo / other.hi, self.hi / other.lo))
    }

    /// True if every amount here is also in `outer`, up to rounding.
    pub fn within(self, outer: Interval) -> bool {
        self.lo >= outer.lo - slack(outer.lo) && self.hi <= outer.hi + slack(outer.hi)
    }

    /// The least interval that covers both.
    pub fn hull(self, other: Interval) -> Interval {
        Interval::new(self.lo.min(other.lo), self.hi.max(other.hi))
    }
}

impl std::ops::Add for Interval {
    type Output = Interval;
    fn add(self, other: Interval) -> Interval {
        Interval::new(self.lo + other.lo, self.hi + other.hi)
    }
}

impl std::ops::Mul for Interval {
    type Output = Interval;
    /// Product of two non-negative intervals.
    fn mul(self, other: Interval) -> Interval {
        Interval::new(self.lo * other.lo, self.hi * other.hi)
    }
}

impl std::iter::Sum for Interval {
    fn sum<I: Iterator<Item = Interval>>(iter: I) -> Interval {
        iter.fold(Interval::ZERO, |a, b| a + b)
    }
}

/// True if `value` is above `limit` by more than rounding.
pub fn exceeds(value: f64, limit: f64) -> bool {
    value > limit + slack(limit)
}

fn slack(value: f64) -> f64 {
    if value.is_finite() { value.abs() * 1e-9 + 1e-12 } else { 0.0 }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn any_interval() -> impl Strategy<Value = Interval> {
        (0.0..1e6f64, 0.0..1e6f64).prop_map(|(a, b)| Interval::new(a.min(b), a.max(b)))
    }

    proptest! {
        #[test]
        fn sums_and_products_keep_their_order(a in any_interval(), b in any_interval()) {
            let (sum, product) = (a + b, a * b);
            prop_assert!(sum.lo <= sum.hi && product.lo <= product.hi);
            prop_assert!(a.within(a.hull(b)) && b.within(a.hull(b)));
        }

        #[test]
        fn a_member_of_each_gives_a_member_of_the_product(a in any_interval(), b in any_interval(), t in 0.0..1.0f64, u in 0.0..1.0f64) {
            let (x, y) = (a.lo + t * (a.hi - a.lo), b.lo + u * (b.hi - b.lo));
            prop_assert!(Interval::exact(x * y).within(a * b));
        }
    }
}
