//! The root of a continuous function between two places where its sign differs.

/// Chandrupatla's method (Adv Eng Softw 1997;28:145-149, from memory): inverse quadratic steps where they
/// are safe, halving where not; ends when the bracket is as narrow as numbers allow.
pub fn between(of: impl Fn(f64) -> f64, low: f64, high: f64) -> f64 {
    let (mut x1, mut x2) = (high, low);
    let (mut f1, mut f2) = (of(x1), of(x2));
    let mut t = 0.5;
    for _ in 0..200 {
        let x = x1 + t * (x2 - x1);
        let f = of(x);
        let (x3, f3);
        if (f > 0.0) == (f1 > 0.0) {
            (x3, f3) = (x1, f1);
        } else {
            (x3, f3) = (x2, f2);
            (x2, f2) = (x1, f1);
        }
        (x1, f1) = (x, f);
        let (best, least) = if f2.abs() < f1.abs() { (x2, f2) } else { (x1, f1) };
        let narrow = (2.0 * f64::EPSILON * best.abs() + f64::MIN_POSITIVE) / (x2 - x1).abs();
        if narrow > 0.5 || least == 0.0 || !least.is_finite() {
            return best;
        }
        let (xi, phi) = ((x1 - x2) / (x3 - x2), (f1 - f2) / (f3 - f2));
        let safe = 1.0 - (1.0 - xi).sqrt() < phi && phi < xi.sqrt();
        t = if safe { f1 / (f2 - f1) * (f3 / (f2 - f3)) + (x3 - x1) / (x2 - x1) * (f1 / (f3 - f1)) * (f2 / (f3 - f2)) } else { 0.5 };
        t = t.clamp(narrow, 1.0 - narrow);
    }
    if f2.abs() < f1.abs() { x2 } else { x1 }
}

#[cfg(test)]
mod tests {
    use super::between;

    #[test]
    fn roots_are_found_to_the_last_digits() {
        assert!((between(|x| x * x - 2.0, 0.0, 2.0) - 2.0_f64.sqrt()).abs() < 1e-15);
        assert!((between(|x| x.powi(9), -1.0, 2.0)).abs() < 1e-30);
        assert!((between(|x: f64| (-x).exp() - 1e-9, 0.0, 1e6) - 1e9_f64.ln()).abs() < 1e-12);
    }
}
