//! Runs: routes to segments, and the length of each.

use super::assumptions::Assumptions;
use super::names::{Element, Names};
use super::site::Site;
use super::types::Types;
use super::{house, items};
use crate::layout::{CoverInZone, NodeRef, PointM, Run, Segment};
use crate::plan::diagnostic::{Diagnostic, Diagnostics};
use crate::plan::field::{Field, Span};
use crate::plan::locate::ElementKind;
use crate::plan::model::{PlanDoc, RunDoc};
use crate::plan::nearest;
use crate::plan::scalar::{Id, Point, RouteStep, Slack};

/// What routes are resolved with.
pub(super) struct Routes<'p> {
    pub(super) plan: &'p PlanDoc,
    pub(super) types: &'p Types,
    pub(super) names: &'p Names<'p>,
    pub(super) site: &'p Site,
}

/// A node of a route with the bends that follow it.
struct Stop {
    node: Option<NodeRef>,
    span: Option<Span>,
    bends: Vec<Point>,
}

const ON_A_ROUTE: &[ElementKind] = &[ElementKind::Supply, ElementKind::Junction, ElementKind::Luminaire];

impl Routes<'_> {
    pub(super) fn runs(&self, assumptions: &mut Assumptions, errors: &mut Diagnostics) -> Vec<Option<Run>> {
        let outputs = self.outputs();
        items(&self.plan.runs).iter().map(|run| self.run(run.get()?, &outputs, assumptions, errors)).collect()
    }

    /// The outputs of each supply by its index in the plan; `None` where its type is unknown or wrong.
    fn outputs(&self) -> Vec<Option<Vec<Id>>> {
        items(&self.plan.supplies)
            .iter()
            .map(|supply| {
                // An unknown type has been reported with the supply.
                let kind = self.types.supplies.get(supply.get()?.r#type.get()?)?;
                Some(kind.outputs.iter().map(|o| o.name.clone()).collect())
            })
            .collect()
    }

    fn run(
        &self,
        run: &RunDoc,
        outputs: &[Option<Vec<Id>>],
        assumptions: &mut Assumptions,
        errors: &mut Diagnostics,
    ) -> Option<Run> {
        let cable = self.types.cables.follow(&run.cable, errors);
        let covers = self.covers(run, errors);
        let stops = self.stops(run, outputs, errors);
        let segments = stops.and_then(|stops| self.segments(run, &stops, assumptions, errors));
        Some(Run {
            id: run.id.cloned()?,
            cable: cable?,
            segments: segments?,
            method: run.method.cloned(),
            cover: run.cover.cloned(),
            instructed_cover: run.instructed_cover.cloned(),
            riser: run.riser.cloned(),
            shared_with: run.shared_with.cloned(),
            barrier: run.barrier.cloned(),
            marking: run.marking.cloned(),
            backfill: run.backfill.cloned(),
            concrete: run.concrete.cloned(),
            supports: run.supports.cloned(),
            covers: covers?,
            house: house(&run.house),
        })
    }

    fn covers(&self, run: &RunDoc, errors: &mut Diagnostics) -> Option<Vec<CoverInZone>> {
        let mut resolve = |cover: &Field<crate::plan::model::CoverDoc>| {
            let cover = cover.get()?;
            let Id(zone) = cover.zone.get()?;
            match self.names.get(zone) {
                Some(Element { kind: ElementKind::Zone, index, .. }) => Some(CoverInZone {
                    zone: index,
                    cover: cover.cover.cloned(),
                    method: cover.method.cloned(),
                    concrete: cover.concrete.cloned(),
                    backfill: cover.backfill.cloned(),
                }),
                other => {
                    errors.push(|| {
                        match other {
                            Some(e) => {
                                Diagnostic::new(cover.zone.span, format!("`{zone}` is {}, not a zone", e.kind.phrase()))
                            }
                            None => Diagnostic::new(cover.zone.span, format!("no zone has the id `{zone}`")),
                        }
                        .help(self.names.help(zone, "zones", &[ElementKind::Zone]))
                    });
                    None
                }
            }
        };
        // Every exception is looked at, also after a wrong one.
        let all: Vec<Option<CoverInZone>> = items(&run.covers).iter().map(&mut resolve).collect();
        all.into_iter().collect()
    }

    /// The nodes of a route; `None` when the route as a whole is wrong.
    fn stops(&self, run: &RunDoc, outputs: &[Option<Vec<Id>>], errors: &mut Diagnostics) -> Option<Vec<Stop>> {
        let steps = run.route.get()?;
        let mut stops: Vec<Stop> = Vec::new();
        let mut sound = true;
        for (i, step) in steps.iter().enumerate() {
            let node = match step.get() {
                None => None,
                Some(RouteStep::Bend(point)) => {
                    if i == 0 || i + 1 == steps.len() {
                        errors.push(|| {
                            Diagnostic::new(
                                step.span,
                                format!("a route {} at a node, not at a bend", if i == 0 { "starts" } else { "ends" }),
                            )
                            .help("name a supply's output, a junction or a luminaire there")
                        });
                        sound = false;
                    }
                    if let Some(stop) = stops.last_mut() {
                        stop.bends.push(*point);
                    }
                    continue;
                }
                Some(RouteStep::Node(id)) => self.node(id, None, step.span, outputs, errors),
                Some(RouteStep::Output(id, output)) => self.node(id, Some(output), step.span, outputs, errors),
            };
            if let (Some(last), Some(_)) = (stops.last(), node)
                && last.node == node
            {
                errors.push(|| {
                    let diagnostic = Diagnostic::new(step.span, "this node follows itself on the route")
                        .help("a segment joins two different nodes; remove one of them");
                    match last.span {
                        Some(span) => diagnostic.also(span, "the same node"),
                        None => diagnostic,
                    }
                });
                sound = false;
            }
            stops.push(Stop { node, span: step.span, bends: Vec::new() });
        }
        if stops.len() < 2 && sound {
            errors.push(|| {
                Diagnostic::new(run.route.span, "a route needs at least two nodes").help("like `[S1/12, J1]`")
            });
            sound = false;
        }
        sound.then_some(stops)
    }

    /// The node that a step names.
    fn node(
        &self,
        id: &Id,
        output: Option<&Id>,
        span: Option<Span>,
        outputs: &[Option<Vec<Id>>],
        errors: &mut Diagnostics,
    ) -> Option<NodeRef> {
        let wrong = |message: String, help: String, errors: &mut Diagnostics| {
            errors.push(|| Diagnostic::new(span, message).help(help));
            None
        };
        let Some(Element { kind, index, .. }) = self.names.get(&id.0) else {
            if self.names.incomplete {
                return None;
            }
            errors.push(|| {
                Diagnostic::new(span, format!("no node has the id `{id}`"))
                    .help(self.names.help(&id.0, "nodes", ON_A_ROUTE))
            });
            return None;
        };
        match (kind, output) {
            (ElementKind::Junction, None) => Some(NodeRef::Junction(index)),
            (ElementKind::Luminaire, None) => Some(NodeRef::Luminaire(index)),
            (ElementKind::Supply, output) => {
                let names = outputs.get(index)?.as_ref()?;
                match (output, names.as_slice()) {
                    (Some(output), _) => match names.iter().position(|name| name == output) {
                        Some(output) => Some(NodeRef::Output { supply: index, output }),
                        None => wrong(
                            format!("the supply `{id}` has no output `{output}`"),
                            nearest::help(&output.0, "outputs", names.iter().map(|n| n.0.as_str())),
                            errors,
                        ),
                    },
                    (None, [_]) => Some(NodeRef::Output { supply: index, output: 0 }),
                    (None, _) => {
                        let choices = names.iter().map(|n| format!("`{id}/{n}`")).collect::<Vec<_>>().join(", ");
                        wrong(
                            format!("the supply `{id}` has {} outputs", names.len()),
                            format!("name one of them: {choices}"),
                            errors,
                        )
                    }
                }
            }
            (ElementKind::Junction | ElementKind::Luminaire, Some(_)) => {
                wrong(format!("`{id}` is {} and has no outputs", kind.phrase()), format!("write `{id}`"), errors)
            }
            (ElementKind::Run | ElementKind::Zone | ElementKind::Utility, _) => wrong(
                format!("`{id}` is {}, not a node", kind.phrase()),
                "a route joins supplies' outputs, junctions and luminaires".to_owned(),
                errors,
            ),
        }
    }

    /// The segments between the nodes, with their lengths.
    fn segments(
        &self,
        run: &RunDoc,
        stops: &[Stop],
        assumptions: &mut Assumptions,
        errors: &mut Diagnostics,
    ) -> Option<Vec<Segment>> {
        let count = stops.len() - 1;
        let two_nodes_only = |span: Option<Span>, key: &str, instead: &str, errors: &mut Diagnostics| {
            if let (Some(span), true) = (span, count > 1) {
                errors.push(|| {
                    Diagnostic::new(span, format!("`{key}` is for a route of two nodes, this has {}", count + 1))
                        .help(instead)
                });
            }
        };
        two_nodes_only(run.length.span, "length", "give `lengths`, one for each segment", errors);
        two_nodes_only(
            run.added_resistance.span,
            "added-resistance",
            "split the run so that this segment is a run of its own",
            errors,
        );
        if let (Some(here), Some(there)) = (run.lengths.span, run.length.span) {
            errors.push(|| {
                Diagnostic::new(here, "`length` and `lengths` exclude each other")
                    .also(there, "the length")
                    .help("keep one of them")
            });
        }
        let lengths: Option<Vec<f64>> = match (run.length.get(), run.lengths.get()) {
            (Some(length), _) => Some(vec![length.si()]),
            (None, Some(lengths)) => {
                if lengths.len() != count {
                    errors.push(|| {
                        Diagnostic::new(run.lengths.span, format!("{} lengths for {count} segments", lengths.len()))
                            .help("give one length for each pair of neighbouring nodes")
                    });
                    return None;
                }
                Some(lengths.iter().map(|l| Some(l.get()?.si())).collect::<Option<_>>()?)
            }
            (None, None) => None,
        };
        // A stated length that is wrong has been reported; nothing is measured in its place.
        let measured = run.length.is_absent() && run.lengths.is_absent();
        if measured
            && run.slack.is_absent()
            && let Some(id) = run.id.get()
        {
            assumptions.no_slack(id);
        }
        let segments: Vec<Option<Segment>> = stops
            .windows(2)
            .enumerate()
            .map(|(i, pair)| {
                let [from, to] = pair else { return None };
                let path = self.path(from, to);
                let length_m = if measured {
                    self.measure(run, from, to, &path, errors)
                } else {
                    lengths.as_ref().and_then(|l| l.get(i)).copied()
                };
                Some(Segment {
                    from: from.node?,
                    to: to.node?,
                    path,
                    length_m: length_m?,
                    added_ohms: run.added_resistance.get().map_or(0.0, |r| r.si()),
                })
            })
            .collect();
        segments.into_iter().collect()
    }

    /// The points of a segment that are known, in order.
    fn path(&self, from: &Stop, to: &Stop) -> Vec<PointM> {
        let bends = from.bends.iter().filter_map(|&bend| self.site.metres(bend));
        self.place(from).into_iter().chain(bends).chain(self.place(to)).collect()
    }

    fn place(&self, stop: &Stop) -> Option<PointM> {
        self.site.place(self.at(stop.node?)?)
    }

    /// The `at` of a node.
    fn at(&self, node: NodeRef) -> Option<&Field<Point>> {
        Some(match node {
            NodeRef::Output { supply, .. } => &items(&self.plan.supplies).get(supply)?.get()?.at,
            NodeRef::Junction(index) => &items(&self.plan.junctions).get(index)?.get()?.at,
            NodeRef::Luminaire(index) => &items(&self.plan.luminaires).get(index)?.get()?.at,
        })
    }

    /// Length along the path with slack, m. Risers are not measured.
    fn measure(&self, run: &RunDoc, from: &Stop, to: &Stop, path: &[PointM], errors: &mut Diagnostics) -> Option<f64> {
        for stop in [from, to] {
            if self.at(stop.node?)?.is_absent() {
                errors.push(|| {
                    Diagnostic::new(stop.span, "this segment can't be measured: the node has no place")
                        .help("give the node `at: [x, y]`, or give the run `length` or `lengths`")
                });
                return None;
            }
        }
        self.place(from)?;
        self.place(to)?;
        let straight = |pair: &[PointM]| match pair {
            [a, b] => (b.x_m - a.x_m).hypot(b.y_m - a.y_m),
            _ => 0.0,
        };
        let length_m: f64 = path.windows(2).map(straight).sum();
        Some(match run.slack.get() {
            None => length_m,
            Some(Slack::Share(share)) => length_m * (1.0 + share.si()),
            Some(Slack::Length(length)) => length_m + length.si(),
        })
    }
}
