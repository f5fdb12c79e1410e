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
    check_import_of(name, HOST)
}

fn check_import_of(name: &str, speaks: &'static str) -> Result<(), Problem> {
    let Some((interface, version)) = name.strip_prefix(PACKAGE).and_then(|rest| rest.split_once('@')) else {
        return Err(Problem::ForbiddenImport(name.to_owned()));
    };
    let (Some(module), Some(host)) = (numbers(version), numbers(speaks)) else {
        return Err(Problem::ForbiddenImport(name.to_owned()));
    };
    // Before 1.0 the second number is the breaking one.
    let breaking = |(major, minor, _): (u64, u64, u64)| if major == 0 { (0, minor) } else { (major, 0) };
    match breaking(module).cmp(&breaking(host)) {
        std::cmp::Ordering::Less => Err(Problem::Older { module: version.to_owned(), host: speaks }),
        std::cmp::Ordering::Greater => Err(Problem::Newer { module: version.to_owned(), host: speaks }),
        // A later addition: the module asks for functions that we may not have.
        std::cmp::Ordering::Equal if module > host => Err(Problem::Newer { module: version.to_owned(), host: speaks }),
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

    /// SHA-256 of the interface as it was released.
    const FROZEN: &str = "a1c5a0042664fd5ae8b280cb83c188c16a6b9a943df89161d304e046948dc856";

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
    fn a_later_version_takes_what_was_built_for_an_earlier_one_of_its_major_number() {
        for earlier in ["1.0.0", "1.0.5", "1.1.0", "1.2.0"] {
            assert_eq!(check_import_of(&format!("lintern:rules/plan@{earlier}"), "1.2.0"), Ok(()));
        }
        for (other, who) in [("1.2.1", "upgrade lintern"), ("2.0.0", "upgrade lintern"), ("0.1.0", "rebuild it")] {
            let error = check_import_of(&format!("lintern:rules/plan@{other}"), "1.2.0").unwrap_err().to_string();
            assert!(error.contains(who) && error.contains("1.2.0"), "{error}");
        }
    }

    /// What was built for 1.0 must keep on running, so its interface stays as it is, comments included.
    #[test]
    fn the_interface_is_frozen() {
        let digest = crate::repository::sha256_hex(include_bytes!("../../wit/v1.0/rules.wit"));
        assert_eq!(
            digest, FROZEN,
            "core/wit/v1.0 does not change any more: what is new is a function in a new folder core/wit/v1.1, and what \
             changes a record or a list of words is 2.0"
        );
    }

    #[test]
    fn nothing_but_the_rule_interface_is_imported() {
        for name in ["wasi:clocks/monotonic-clock@0.2.0", "env", "lintern:rules/plan", "lintern:rules/plan@latest"] {
            assert_eq!(check_import(name), Err(Problem::ForbiddenImport(name.to_owned())));
        }
    }
}
