//! What of a plan opens the ground.

use lintern_rule::plan::{Luminaire, Method, Placement, Run};
use lintern_rule::{Input, Report};

/// Whether something opens the ground: `None` where the plan does not say.
type Opens = Option<bool>;

pub fn by_method(method: Option<Method>) -> Opens {
    method.map(|method| match method {
        Method::DirectBurial | Method::PvcConduit | Method::RigidMetalConduit => true,
        Method::Surface | Method::Aerial => false,
    })
}

fn run_opens(run: &Run) -> Opens {
    let exceptions = run.covers.iter().any(|cover| by_method(cover.method) == Some(true));
    if exceptions { Some(true) } else { by_method(run.method) }
}

pub fn luminaire_opens(luminaire: &Luminaire) -> Opens {
    if luminaire.excavation.is_some() {
        return Some(true);
    }
    luminaire.placement.map(|placement| placement == Placement::InGround)
}

/// Whether the plan opens the ground anywhere. Where that can't be told, the elements that leave it open are said to
/// be undetermined.
pub fn opens_ground(input: &Input, report: &mut Report) -> bool {
    let runs = input.runs().iter().map(|run| (&run.id, run_opens(run), "`method`"));
    let luminaires = input.luminaires().iter().map(|l| (&l.id, luminaire_opens(l), "`placement`"));
    let all: Vec<_> = runs.chain(luminaires).collect();
    let opened = all.iter().any(|(_, opens, _)| *opens == Some(true));
    if !opened {
        for (id, _, missing) in all.iter().filter(|(_, opens, _)| opens.is_none()) {
            report.undetermined(*id, [*missing]);
        }
    }
    opened
}

#[cfg(test)]
mod tests {
    use super::*;
    use lintern_rule::blank;
    use lintern_rule::plan::ZoneCover;

    /// A run on the surface that goes under the drive in conduit opens the ground, whatever else is said of the drive.
    #[test]
    fn a_sleeve_under_the_drive_opens_the_ground() {
        let opens = |method, part| {
            let covers = vec![ZoneCover { zone: 0, cover: None, method: part, concrete: None, backfill: None }];
            run_opens(&Run { method, covers, ..blank::run("R1", 0) })
        };
        assert_eq!(opens(Some(Method::Surface), Some(Method::PvcConduit)), Some(true));
        assert_eq!(opens(Some(Method::Surface), Some(Method::Aerial)), Some(false));
        assert_eq!(opens(Some(Method::Surface), None), Some(false));
        assert_eq!(opens(Some(Method::DirectBurial), Some(Method::Surface)), Some(true));
        assert_eq!(opens(None, Some(Method::Surface)), None);
    }
}
