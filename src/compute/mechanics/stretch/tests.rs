//! The formula against hand calculation, and what must hold for any table.

use super::*;
use crate::model::motion::coordinate;
use proptest::prelude::*;

fn joint(id: &str) -> Joint {
    coordinate(id).unwrap()
}

fn part(arms: &[(&str, &[(f64, f64)])], couplings: &[(&str, &str, f64)]) -> Result<Part, PartError> {
    let arms = arms.iter().map(|(id, table)| (joint(id), Arm::table(table).unwrap())).collect();
    let couplings = couplings.iter().map(|(a, b, c)| Coupling { between: (joint(a), joint(b)), mm_per_rad: *c }).collect();
    Part::new(arms, couplings, Some(50.0), None)
}

/// Calculated by hand: arm 10 mm at 0 and 20 mm at one radian, 20 beyond.
#[test]
fn an_arm_is_linear_between_its_angles_and_constant_beyond() {
    let one = 1f64.to_degrees();
    let arm = Arm::table(&[(0.0, 10.0), (one, 20.0)]).unwrap();
    for (q, at, integral) in [(-1.0, 10.0, -10.0), (0.0, 10.0, 0.0), (0.5, 15.0, 6.25), (1.0, 20.0, 15.0), (2.0, 20.0, 35.0)] {
        assert!((arm.at(q) - at).abs() < 1e-12, "{q}: {}", arm.at(q));
        assert!((arm.integral(q) - integral).abs() < 1e-12, "{q}: {}", arm.integral(q));
    }
    assert!(!arm.beyond(1.0) && arm.beyond(1.01) && arm.beyond(-0.01));
    assert!(!Arm::constant(3.0).unwrap().beyond(3.0));
}

/// By hand: -(10 * 1) - (-5 * 2) - (3 * 1 * 2) = -6.
#[test]
fn couplings_count_once_for_each_pair() {
    let p = part(&[("hip.flexion", &[(0.0, 10.0)]), ("knee.flexion", &[(0.0, -5.0)])], &[("knee.flexion", "hip.flexion", 3.0)]).unwrap();
    let posture = Posture::new(vec![(joint("hip.flexion"), 1.0), (joint("knee.flexion"), 2.0)]);
    let change = p.change(&posture);
    assert!((change.total + 6.0).abs() < 1e-12 && (change.coupling + 6.0).abs() < 1e-12, "{change:?}");
    assert!((p.moment_arm(joint("hip.flexion"), &posture) - 16.0).abs() < 1e-12);
    assert!((p.moment_arm(joint("knee.flexion"), &posture) + 2.0).abs() < 1e-12);
    assert_eq!(p.percent_of_fibre(change.total), Some(-12.0));
}

#[test]
fn nonsense_is_refused() {
    assert_eq!(Arm::table(&[]), Err(ArmError::Empty));
    assert_eq!(Arm::table(&[(0.0, 1.0), (0.0, 2.0)]), Err(ArmError::NotSorted(1)));
    assert_eq!(Arm::table(&[(10.0, 1.0), (0.0, 2.0)]), Err(ArmError::NotSorted(1)));
    assert_eq!(Arm::table(&[(0.0, f64::NAN)]), Err(ArmError::NotFinite(0)));
    assert_eq!(Arm::table(&[(400.0, 1.0)]), Err(ArmError::BeyondTurn(0)));
    let arms: &[(&str, &[(f64, f64)])] = &[("hip.flexion", &[(0.0, 10.0)]), ("knee.flexion", &[(0.0, -5.0)])];
    let twice = part(arms, &[("hip.flexion", "knee.flexion", 1.0), ("knee.flexion", "hip.flexion", 2.0)]);
    assert_eq!(twice, Err(PartError::CouplingTwice(1)));
    assert_eq!(part(arms, &[("hip.flexion", "hip.flexion", 1.0)]), Err(PartError::CouplingWithItself(0)));
    assert_eq!(part(arms, &[("hip.flexion", "knee.flexion", f64::INFINITY)]), Err(PartError::CouplingNotFinite(0)));
    assert_eq!(part(&[], &[]), Err(PartError::NoArm));
    let one = |fibre, error| Part::new(vec![(joint("hip.flexion"), Arm::constant(1.0).unwrap())], Vec::new(), fibre, error);
    assert_eq!(one(Some(0.0), None), Err(PartError::Fibre));
    assert_eq!(one(None, Some(-1.0)), Err(PartError::Error));
}

#[test]
fn no_sign_is_called_within_the_error() {
    let table = part(&[("ankle.dorsiflexion", &[(-50.0, -40.0), (20.0, -40.0)])], &[]).unwrap();
    for (mm, verdict) in [
        (2.1, Verdict::Lengthens),
        (2.0, Verdict::NoDifference),
        (0.0, Verdict::NoDifference),
        (-2.0, Verdict::NoDifference),
        (-2.1, Verdict::Shortens),
    ] {
        assert_eq!(table.verdict(mm), verdict, "{mm}");
    }
    let constant = part(&[("ankle.dorsiflexion", &[(0.0, -40.0)])], &[]).unwrap();
    assert_eq!((constant.error(), constant.verdict(7.9), constant.verdict(8.1)), (8.0, Verdict::NoDifference, Verdict::Lengthens));
}

#[test]
fn a_muscle_that_only_shortens_is_longest_in_neutral() {
    let knee = part(&[("knee.flexion", &[(0.0, 22.3), (140.0, 5.0)])], &[]).unwrap();
    assert_eq!((knee.verdict(0.0), knee.verdict(-30.0)), (Verdict::LongestInNeutral, Verdict::Shortens));
    let idle = part(&[("knee.flexion", &[(0.0, 0.1), (140.0, 0.1)])], &[]).unwrap();
    assert_eq!(idle.verdict(0.0), Verdict::NoDifference, "nothing moves it at all");
}

fn any_part() -> impl Strategy<Value = Part> {
    let table = || proptest::collection::vec(-90.0..90.0f64, 1..7);
    (table(), table(), -50.0..50.0f64).prop_map(|(a, b, c)| {
        let spread = |arms: Vec<f64>| {
            let points: Vec<_> = arms.iter().zip(-3i32..).map(|(mm, i)| (f64::from(i) * 30.0, *mm)).collect();
            Arm::table(&points).unwrap()
        };
        let (hip, knee) = (joint("hip.flexion"), joint("knee.flexion"));
        Part::new(vec![(hip, spread(a)), (knee, spread(b))], vec![Coupling { between: (hip, knee), mm_per_rad: c }], None, None).unwrap()
    })
}

proptest! {
    #[test]
    fn the_moment_arm_is_the_slope_of_the_length(p in any_part(), q in -3.0..3.0f64, other in -3.0..3.0f64) {
        let (hip, knee) = (joint("hip.flexion"), joint("knee.flexion"));
        let h = 1e-6;
        let at = |q: f64| p.change(&Posture::new(vec![(hip, q), (knee, other)])).total;
        let slope = -(at(q + h) - at(q - h)) / (2.0 * h);
        let arm = p.moment_arm(hip, &Posture::new(vec![(hip, q), (knee, other)]));
        prop_assert!((slope - arm).abs() < 1e-3, "{slope} {arm}");
    }

    #[test]
    fn parts_of_a_change_add_up_and_are_finite(p in any_part(), a in -6.0..6.0f64, b in -6.0..6.0f64) {
        let change = p.change(&Posture::new(vec![(joint("hip.flexion"), a), (joint("knee.flexion"), b)]));
        let sum = change.by_joint.iter().map(|(_, mm)| mm).sum::<f64>() + change.coupling;
        prop_assert!(change.total.is_finite() && (sum - change.total).abs() < 1e-9);
    }
}
