//! What compiling a module would cost, from a reading of its functions.
//!
//! The number of bytes tells little: 9,000 loads in a row take longer than an honest module of ten
//! times their size, since each is a branch to a trap, and the compiler's work grows with the square
//! of the branches in a function. The weights are microseconds as measured with worst cases of each
//! kind (see [`super::limits::COMPILE_COST`]); a sum of them depends on no clock.

use super::error::Problem;
use super::inspect::{count, malformed, too_big};
use super::limits;
use std::collections::BTreeSet;
use wasmparser::{FunctionBody, Operator};

/// Adds up the cost of a module's functions.
#[derive(Debug, Default)]
pub(super) struct Cost {
    /// Microseconds.
    total: u64,
    /// Most parameters and results of one of its function types.
    widest: u64,
}

/// What is counted in one function.
#[derive(Debug, Default)]
struct Counted {
    locals: u64,
    operators: u64,
    calls: u64,
    /// Operators that trap under a condition.
    traps: u64,
    /// Starts, ends and jumps of blocks, with the different targets of tables.
    jumps: u64,
    /// All entries of tables of jumps.
    targets: u64,
}

impl Cost {
    /// Takes note of a function type, and refuses one that makes each call expensive.
    pub(super) fn function_type(&mut self, parameters: usize, results: usize) -> Result<(), Problem> {
        too_big("parameters in one function type", parameters as u64, limits::PARAMETERS)?;
        too_big("results in one function type", results as u64, limits::RESULTS)?;
        self.widest = self.widest.max((parameters + results) as u64);
        Ok(())
    }

    /// Adds a function, and refuses the module once it costs too much.
    pub(super) fn function(&mut self, body: &FunctionBody<'_>) -> Result<(), Problem> {
        too_big("bytes in one function", body.range().end - body.range().start, limits::FUNCTION_BYTES as u64)?;
        let counted = Counted::of(body)?;
        self.total = self.total.saturating_add(counted.microseconds(self.widest));
        too_big("ms of estimated work for the compiler", self.total / 1_000, limits::COMPILE_COST)
    }
}

impl Counted {
    fn of(body: &FunctionBody<'_>) -> Result<Self, Problem> {
        let mut counted = Self::default();
        for group in body.get_locals_reader().map_err(malformed)? {
            let (more, _) = group.map_err(malformed)?;
            count(&mut counted.locals, more, "local variables in one function", limits::LOCALS)?;
        }
        let mut depth = 0_u32;
        let mut operators = body.get_operators_reader().map_err(malformed)?;
        while !operators.eof() {
            let operator = operators.read().map_err(malformed)?;
            counted.operators += 1;
            counted.traps += u64::from(may_trap(&operator));
            match operator {
                Operator::Block { .. } | Operator::Loop { .. } | Operator::If { .. } | Operator::TryTable { .. } => {
                    depth += 1;
                    too_big("nested blocks in one function", depth.into(), limits::BLOCK_DEPTH.into())?;
                    counted.jumps += 1;
                }
                Operator::End => {
                    depth = depth.saturating_sub(1);
                    counted.jumps += 1;
                }
                Operator::Else | Operator::Br { .. } | Operator::BrIf { .. } | Operator::Return => counted.jumps += 1,
                Operator::BrTable { targets } => {
                    let different = targets.targets().collect::<Result<BTreeSet<u32>, _>>().map_err(malformed)?;
                    counted.jumps += 1 + different.len() as u64;
                    counted.targets += u64::from(targets.len());
                }
                Operator::Call { .. } | Operator::CallIndirect { .. } => counted.calls += 1,
                _ => {}
            }
        }
        Ok(counted)
    }

    fn microseconds(&self, widest: u64) -> u64 {
        let Self { locals, operators, calls, traps, jumps, targets } = *self;
        // A block without a trap costs a third of one with it.
        let branches = traps + jumps / 3;
        [
            250,
            locals,
            4 * operators,
            operators.saturating_mul(operators) / 4_000,
            calls * (20 + 2 * widest),
            3 * targets,
            50 * branches,
            branches.saturating_mul(branches) / 4,
            // Values that may be live across each of the blocks.
            jumps.saturating_mul(locals + widest),
        ]
        .into_iter()
        .fold(0, u64::saturating_add)
    }
}

/// Whether an operator becomes a branch to a trap: those that reach memory or a table, divide, or
/// turn a float into an integer.
fn may_trap(operator: &Operator<'_>) -> bool {
    macro_rules! by_name {
        ($( @$proposal:ident $op:ident $({ $($arg:ident: $argty:ty),* })? => $visit:ident ($($ann:tt)*))*) => {
            match operator {
                $( Operator::$op { .. } => const { name_may_trap(stringify!($op)) }, )*
                _ => true,
            }
        };
    }
    wasmparser::for_each_operator!(by_name)
}

const fn name_may_trap(name: &str) -> bool {
    const PARTS: [&str; 9] = ["Load", "Store", "Div", "Rem", "Trunc", "Memory", "Table", "Indirect", "Ref"];
    let mut part = 0;
    while part < PARTS.len() {
        if contains(name.as_bytes(), PARTS[part].as_bytes()) {
            return true;
        }
        part += 1;
    }
    false
}

const fn contains(text: &[u8], part: &[u8]) -> bool {
    let mut start = 0;
    while start + part.len() <= text.len() {
        let mut same = 0;
        while same < part.len() && text[start + same] == part[same] {
            same += 1;
        }
        if same == part.len() {
            return true;
        }
        start += 1;
    }
    false
}
