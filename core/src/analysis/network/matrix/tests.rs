use super::*;
use proptest::prelude::*;

/// Residual of the equations, as a share of the largest term in each.
fn residual(links: &[(usize, usize, f64)], to_ground: &[f64], amps: &[f64], volts: &[f64]) -> f64 {
    let mut sum: Vec<f64> = (0..volts.len()).map(|i| to_ground[i] * volts[i] - amps[i]).collect();
    let mut size: Vec<f64> = (0..volts.len()).map(|i| (to_ground[i] * volts[i]).abs().max(amps[i].abs())).collect();
    for &(a, b, siemens) in links {
        sum[a] += siemens * (volts[a] - volts[b]);
        sum[b] += siemens * (volts[b] - volts[a]);
        for i in [a, b] {
            size[i] = size[i].max(siemens * volts[a].abs().max(volts[b].abs()));
        }
    }
    sum.iter().zip(size).map(|(s, size)| if *s == 0.0 { 0.0 } else { s.abs() / size }).fold(0.0, f64::max)
}

/// Number of conductances after elimination.
fn filled(matrix: &Conductances) -> usize {
    matrix.rows.len()
}

#[test]
fn nothing_and_one_node() {
    let mut none = Conductances::new(0, &[]);
    assert_eq!(none.factor(&[]), Ok(()));
    assert!(none.solve(&[]).is_empty());
    let mut one = Conductances::new(1, &[]);
    assert_eq!(one.factor(&[0.0]), Err(NotPositiveDefinite));
    assert_eq!(one.factor(&[4.0]), Ok(()));
    assert_eq!(one.solve(&[2.0]), [0.5]);
}

#[test]
fn refuses_what_is_not_positive_definite() {
    // Two nodes a siemens apart, each with `g` to ground: the eigenvalues are g and g + 2.
    let links = [(0, 1, 1.0)];
    let mut matrix = Conductances::new(2, &links);
    assert_eq!(matrix.factor(&[1e-300, 1e-300]), Ok(()));
    assert_eq!(matrix.factor(&[0.0, 0.0]), Err(NotPositiveDefinite));
    assert_eq!(matrix.factor(&[-0.1, -0.1]), Err(NotPositiveDefinite));
    assert_eq!(matrix.factor(&[f64::NAN, 1.0]), Err(NotPositiveDefinite));
    // One may be negative as long as the series of the other and the link outweighs it: 1·1/(1+1) = 0.5.
    assert_eq!(matrix.factor(&[1.0, -0.499_999_999]), Ok(()));
    assert_eq!(matrix.factor(&[1.0, -0.500_000_001]), Err(NotPositiveDefinite));
}

/// A chain of a micro-, a nano- and a pico-ohm between ohms: each drop is the current times the ohms passed,
/// to the last digits, though the conductances span twelve powers of ten.
#[test]
fn keeps_every_digit_beside_tiny_resistances() {
    let ohms = [1.0, 1e-6, 3.0, 1e-9, 1e-12, 7.0, 1e-12, 1e-3];
    let links: Vec<_> = (1..ohms.len()).map(|i| (i - 1, i, 1.0 / ohms[i])).collect();
    let mut to_ground = vec![0.0; ohms.len()];
    to_ground[0] = 1.0 / ohms[0];
    let mut matrix = Conductances::new(ohms.len(), &links);
    matrix.factor(&to_ground).unwrap();
    let mut amps = vec![0.0; ohms.len()];
    *amps.last_mut().unwrap() = 2.0;
    let volts = matrix.solve(&amps);
    let mut expected = 0.0;
    for (volts, ohms) in volts.iter().zip(ohms) {
        expected += 2.0 * ohms;
        assert!((volts - expected).abs() <= 1e-14 * expected, "{volts} is not {expected}");
    }
}

#[test]
fn trees_and_stars_do_not_fill() {
    let nodes = 9_999;
    let star: Vec<_> = (1..nodes).map(|i| (0, i, 1.0)).collect();
    let chain: Vec<_> = (1..nodes).map(|i| (i - 1, i, 1.0)).collect();
    let tree: Vec<_> = (1..nodes).map(|i| (i * 7919 % i.min(300), i, 1.0)).collect();
    // A chain of hubs, each with 50 legs of two nodes: the far ones numbered before the hubs, the near ones after them.
    let (hubs, legs) = (99, 50);
    let (first_hub, first_near) = (hubs * legs, hubs * legs + hubs);
    let spiders = (0..hubs * legs)
        .flat_map(|leg| [(leg, first_near + leg, 1.0), (first_hub + leg / legs, first_near + leg, 1.0)])
        .chain((1..hubs).map(|hub| (first_hub + hub - 1, first_hub + hub, 1.0)))
        .collect();
    for links in [star, chain, tree, spiders] {
        assert_eq!(filled(&Conductances::new(nodes, &links)), nodes - 1);
    }
}

#[test]
fn a_grid_and_a_wheel_fill_little() {
    let side = 100;
    let mut grid = Vec::new();
    for i in 0..side * side {
        if i % side + 1 < side {
            grid.push((i, i + 1, 1.0));
        }
        if i + side < side * side {
            grid.push((i, i + side, 1.0));
        }
    }
    // Nested dissection, which no order beats by more than a factor, fills about 31/4·n·log2(n) = 1.0 million.
    let filled_grid = filled(&Conductances::new(side * side, &grid));
    assert!(filled_grid < 1_000_000, "{filled_grid}");
    let rim = 10_000;
    let wheel: Vec<_> = (1..=rim).flat_map(|i| [(0, i, 1.0), (i, i % rim + 1, 1.0)]).collect();
    let filled_wheel = filled(&Conductances::new(rim + 1, &wheel));
    assert!(filled_wheel <= 3 * rim, "{filled_wheel}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    /// Any graph, joined or not, with doubled links: the equations hold. Also exercises the ordering.
    #[test]
    fn solves_any_graph(
        nodes in 1_usize..60,
        ends in prop::collection::vec((0_usize..60, 0_usize..60, -6.0_f64..6.0), 0..150),
        ground in prop::collection::vec(-3.0_f64..3.0, 60),
    ) {
        let links: Vec<_> = ends
            .iter()
            .map(|&(a, b, g)| (a % nodes, b % nodes, 10_f64.powf(g)))
            .filter(|(a, b, _)| a != b)
            .collect();
        let to_ground: Vec<f64> = ground[..nodes].iter().map(|g| 10_f64.powf(*g)).collect();
        let amps: Vec<f64> = (0..nodes).map(|i| i as f64 - 3.0).collect();
        let mut matrix = Conductances::new(nodes, &links);
        prop_assert_eq!(matrix.factor(&to_ground), Ok(()));
        let volts = matrix.solve(&amps);
        prop_assert!(residual(&links, &to_ground, &amps, &volts) <= 1e-13);
    }
}
