//! The measures against values from outside. scipy and statsmodels are asked in
//! `tests/tests/evidence_figures.rs`.

use crate::evidence::stats::{Tracing, d_prime, quartiles, wilson};

fn near(found: f64, published: f64, within: f64) {
    assert!((found - published).abs() <= within, "{found} is not {published}");
}

/// The first row: the worked example of statpsych (R), as noted in check-values. The others were computed
/// there exactly from Hautus (1995); two R packages give 1.65 for the last, without its correction.
#[test]
fn d_prime_and_bias_are_the_published_ones() {
    for (hits, signals, alarms, noise, d, c) in [
        (82, 100, 46, 100, 1.002_793, -0.401_960_3),
        (10, 10, 0, 10, 3.381_243, 0.0),
        (20, 25, 10, 25, 1.044_499, -0.278_845),
        (9, 10, 2, 9, 1.771_293, -0.211_157),
    ] {
        let (found_d, found_c) = d_prime(hits, signals, alarms, noise);
        near(found_d, d, 1e-6);
        near(found_c, c, 1e-6);
    }
}

/// 95 % intervals with z = 1.96, from a published table of Wilson's formula, as noted in check-values.
#[test]
fn wilson_intervals_are_the_published_ones() {
    for (hits, of, least, greatest) in [
        (1, 11, 0.016_231_752_262_825_982, 0.377_364_625_486_203_8),
        (10, 100, 0.055_228_541_613_126_12, 0.174_367_304_367_665_4),
        (50, 100, 0.403_829_828_590_147_16, 0.596_170_171_409_852_8),
        (0, 100, 0.0, 0.036_994_807_476_001_91),
    ] {
        let found = wilson(hits, of);
        near(found.least, least, 1e-12);
        near(found.greatest, greatest, 1e-12);
    }
    assert_eq!((wilson(0, 0).least, wilson(0, 0).greatest), (0.0, 1.0));
}

/// Corbett and Anderson (1995). The first is a published worked step; the run was computed by hand.
#[test]
fn knowledge_tracing_follows_its_equations() {
    let step = Tracing { known_before: 0.5, learnt: 0.1, slip: 0.1, guess: 0.2 };
    near(step.seen(0.5, true), 0.45 / 0.55, 1e-12);
    let run = Tracing { known_before: 0.3, ..step };
    let mut known = 0.3;
    for (kept, next) in
        [(false, 0.145_763), (true, 0.490_909), (true, 0.831_438), (true, 0.961_201)]
    {
        known = run.next(known, kept);
        near(known, next, 1e-6);
    }
    near(run.after([false, true, true, true]), known, 1e-12);
}

#[test]
fn quartiles_lie_between_neighbours() {
    assert_eq!(quartiles(&[4.0, 1.0, 3.0, 2.0]), Some([1.75, 2.5, 3.25]));
    assert_eq!(quartiles(&[]), None);
}
