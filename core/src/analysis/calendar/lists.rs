//! Lists of holidays that a statute, a rule or a one-call center gives, where a row of the table would be too long.

use super::holiday::Holiday;
use super::names::*;

/// New Jersey, N.J.S.A. 11A:6-24.1.
pub(super) const NEW_JERSEY: &[Holiday] = &[
    NEW_YEARS_DAY,
    MARTIN_LUTHER_KING,
    WASHINGTON,
    GOOD_FRIDAY,
    MEMORIAL_DAY,
    JUNETEENTH_THIRD_FRIDAY,
    INDEPENDENCE_DAY,
    LABOR_DAY,
    COLUMBUS_DAY,
    ELECTION_DAY,
    VETERANS_DAY,
    THANKSGIVING,
    CHRISTMAS,
];

/// Texas, Government Code 662.003(a) and (b); a holiday on a weekend is not moved.
pub(super) const TEXAS: &[Holiday] = &[
    NEW_YEARS_DAY,
    MARTIN_LUTHER_KING,
    CONFEDERATE_HEROES_DAY,
    WASHINGTON,
    TEXAS_INDEPENDENCE_DAY,
    SAN_JACINTO_DAY,
    MEMORIAL_DAY,
    EMANCIPATION_DAY_IN_TEXAS,
    INDEPENDENCE_DAY,
    LYNDON_JOHNSON_DAY,
    LABOR_DAY,
    VETERANS_DAY,
    THANKSGIVING,
    DAY_AFTER_THANKSGIVING,
    CHRISTMAS_EVE,
    CHRISTMAS,
    DAY_AFTER_CHRISTMAS,
];

/// Florida Statutes 556.102(1) and Official Code of Georgia 25-9-3(3).
pub(super) const FLORIDA_AND_GEORGIA: &[Holiday] = &[
    NEW_YEARS_DAY,
    MARTIN_LUTHER_KING,
    MEMORIAL_DAY,
    INDEPENDENCE_DAY,
    LABOR_DAY,
    THANKSGIVING,
    DAY_AFTER_THANKSGIVING,
    CHRISTMAS_EVE,
    CHRISTMAS,
];

/// Wisconsin Statutes 995.20, without the primary election.
pub(super) const WISCONSIN: &[Holiday] = &[
    NEW_YEARS_DAY,
    MARTIN_LUTHER_KING,
    WASHINGTON,
    MEMORIAL_DAY,
    JUNETEENTH,
    INDEPENDENCE_DAY,
    LABOR_DAY,
    COLUMBUS_DAY,
    GENERAL_ELECTION,
    VETERANS_DAY,
    THANKSGIVING,
    CHRISTMAS,
];

/// Arizona Administrative Code R2-5A-B601(A), and the days of the Pennsylvania statute, 44 P.S. 11, on which the offices
/// of the Commonwealth are closed.
pub(super) const ARIZONA_AND_PENNSYLVANIA: &[Holiday] = &[
    NEW_YEARS_DAY,
    MARTIN_LUTHER_KING,
    WASHINGTON,
    MEMORIAL_DAY,
    INDEPENDENCE_DAY,
    LABOR_DAY,
    COLUMBUS_DAY,
    VETERANS_DAY,
    THANKSGIVING,
    CHRISTMAS,
];

/// What the one-call centers of North Dakota and Tennessee publish.
pub(super) const NORTH_DAKOTA_AND_TENNESSEE: &[Holiday] = &[
    NEW_YEARS_DAY,
    MARTIN_LUTHER_KING,
    WASHINGTON,
    GOOD_FRIDAY,
    MEMORIAL_DAY,
    INDEPENDENCE_DAY,
    LABOR_DAY,
    COLUMBUS_DAY,
    VETERANS_DAY,
    THANKSGIVING,
    CHRISTMAS,
];
