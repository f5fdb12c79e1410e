//! Which version of the rule interface a module was built for, read from the names of its imports
//! before anything is compiled.

use super::error::Problem;

/// The version that this lintern speaks.
pub const HOST: &str = "1.0.0";

const PACKAGE: &str = "lintern:rules/";

/// The interfaces of that version.
const INTERFACES: [&str; 5] = ["types", "plan", "facts", "diag", "report"];

/// Checks the name of an import of a component.
pub(super) fn check_import(name: &str) -> Result<(), Problem> {
    let Some((interface, version)) = name.strip_prefix(PACKAGE).and_then(|rest| rest.split_once('@')) else {
        return Err(Problem::ForbiddenImport(name.to_owned()));
    };
    let (Some(module), Some(host)) = (numbers(version), numbers(HOST)) else {
        return Err(Problem::ForbiddenImport(name.to_owned()));
    };
    // Before 1.0 the second number is the breaking one.
    let breaking = |(major, minor, _): (u64, u64, u64)| if major == 0 { (0, minor) } else { (major, 0) };
    match breaking(module).cmp(&breaking(host)) {
        std::cmp::Ordering::Less => Err(Problem::Older { module: version.to_owned(), host: HOST }),
        std::cmp::Ordering::Greater => Err(Problem::Newer { module: version.to_owned(), host: HOST }),
        // A later addition: the module asks for functions that we may not have.
        std::cmp::Ordering::Equal if module > host => Err(Problem::Newer { module: version.to_owned(), host: HOST }),
        std::cmp::Ordering::Equal if INTERFACES.contains(&interface) => Ok(()),
        std::cmp::Ordering::Equal => Err(Problem::Mismatch(format!("it imports `{name}`, which there is none of"))),
    }
}

fn numbers(version: &str) -> Option<(u64, u64, u64)> {
    let mut parts = version.split('.').map(str::parse);
    match (parts.next(), parts.next(), parts.next(), parts.next()) {
        (Some(Ok(major)), Some(Ok(minor)), Some(Ok(patch)), None) => Some((major, minor, patch)),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_mismatches_say_who_must_upgrade() {
        assert_eq!(check_import("lintern:rules/plan@1.0.0"), Ok(()));
        let older = check_import("lintern:rules/plan@0.1.0").unwrap_err().to_string();
        assert!(older.contains("its author must rebuild it with `lintern-rule` 1.0.0"), "{older}");
        let invented = check_import("lintern:rules/files@1.0.0").unwrap_err().to_string();
        assert!(invented.contains("`lintern:rules/files@1.0.0`, which there is none of"), "{invented}");
        for newer in ["1.0.1", "1.1.0", "2.0.0"] {
            let newer = check_import(&format!("lintern:rules/plan@{newer}")).unwrap_err().to_string();
            assert!(newer.contains("upgrade lintern"), "{newer}");
        }
    }

    #[test]
    fn nothing_but_the_rule_interface_is_imported() {
        for name in ["wasi:clocks/monotonic-clock@0.2.0", "env", "lintern:rules/plan", "lintern:rules/plan@latest"] {
            assert_eq!(check_import(name), Err(Problem::ForbiddenImport(name.to_owned())));
        }
    }
}
