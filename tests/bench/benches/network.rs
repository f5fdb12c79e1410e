//! The solver alone, on large trees and grids.

use criterion::{BatchSize, BenchmarkId, Criterion, criterion_group, criterion_main};
use lintern_bench::{Plan, seed, trees};
use lintern_core::analysis::{Case, network};
use std::time::Duration;

fn solver(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("network");
    group.sample_size(10).measurement_time(Duration::from_secs(5));
    let trees = [1_000, 10_000, 100_000].map(|nodes| ("tree", nodes, trees::tree(seed(), nodes)));
    let grids = [10, 30, 100].map(|side| ("grid", side, trees::grid(side)));
    for (shape, size, text) in trees.into_iter().chain(grids) {
        let layout = Plan::of(text).load().layout.expect("it loads");
        let solution = network::solve(&layout, Case::Judged);
        assert!(solution.unsolved.is_empty(), "{shape} of {size} has no operating point");
        group.bench_function(BenchmarkId::new(shape, size), |bencher| {
            bencher.iter_batched(|| (), |()| network::solve(&layout, Case::Judged), BatchSize::PerIteration);
        });
    }
}

criterion_group!(benches, solver);
criterion_main!(benches);
