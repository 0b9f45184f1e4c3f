//! The measures of evidence against PyPI scipy 1.15.3 and statsmodels 0.14.4, run by
//! `tests/outside/evidence_figures.py`. Published values stand in `server/src/evidence/tests`.
#![allow(clippy::unwrap_used)]

use handround_server::evidence::{
    Acts, chance_of_so_much, clustered, d_prime, quartiles, signal_detection, wilson,
};

fn near(found: f64, outside: f64, line: &str) {
    assert!((found - outside).abs() < 1e-9, "{found} is not {outside}: {line}");
}

#[test]
fn measures_are_those_of_scipy_and_statsmodels() {
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/outside/evidence_figures.py");
    let run = std::process::Command::new("python3").arg(script).output();
    let run = run.expect("python3 cannot be started; the measures cannot be checked");
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
    let mut lines = 0;
    for line in String::from_utf8(run.stdout).unwrap().lines() {
        let (measure, numbers) = line.split_once(' ').unwrap();
        let numbers: Vec<f64> = numbers.split(' ').map(|one| one.parse().unwrap()).collect();
        let count = |place: usize| numbers[place] as usize;
        match measure {
            "wilson" => {
                let found = wilson(count(0), count(1));
                near(found.least, numbers[2], line);
                near(found.greatest, numbers[3], line);
            }
            "dprime" => {
                let (d, c) = d_prime(count(0), count(1), count(2), count(3));
                near(d, numbers[4], line);
                near(c, numbers[5], line);
                let all = (count(0), count(1), count(2), count(3));
                let found = signal_detection(all);
                // The slope there is numerical.
                let close = |found: f64, outside: f64| (found / outside - 1.0).abs() < 1e-4;
                assert!(close(found.d_prime_off, numbers[6]), "{found:?}: {line}");
                assert!(close(found.bias_off, numbers[7]), "{found:?}: {line}");
            }
            "clustered" => {
                let children: Vec<(usize, usize)> = numbers[2..]
                    .chunks(2)
                    .map(|pair| (pair[0] as usize, pair[1] as usize))
                    .collect();
                let found = clustered(&children).unwrap();
                near(found.least, numbers[0], line);
                near(found.greatest, numbers[1], line);
            }
            "chance" => {
                let acts = |place: usize| Acts {
                    here: count(place),
                    chances_here: numbers[place + 1],
                    elsewhere: count(place + 2),
                    chances_elsewhere: numbers[place + 3],
                };
                near(chance_of_so_much(acts(0), acts(4)), numbers[8], line);
            }
            _ => {
                let found = quartiles(&numbers[3..]).unwrap();
                found
                    .into_iter()
                    .zip(&numbers)
                    .for_each(|(own, outside)| near(own, *outside, line));
            }
        }
        lines += 1;
    }
    println!("{lines} figures are the same");
    assert!(lines > 80);
}
