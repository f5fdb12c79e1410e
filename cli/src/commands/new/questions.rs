//! Asks for what the flags leave open. Each question can be left for later.

use super::Answers;
use crate::args::{country, region};
use dialoguer::{Error, Input, Select};
use lintern_core::plan::model::{Code, Grid, Occupancy, OutputCurrent};
use std::fmt::Display;

const CODES: [Code; 6] = [Code::Nec2017, Code::Nec2020, Code::Nec2023, Code::Nec2026, Code::Iec60364, Code::Bs7671];
const OCCUPANCIES: [Occupancy; 5] = [
    Occupancy::OneFamilyDwelling,
    Occupancy::TwoFamilyDwelling,
    Occupancy::Multifamily,
    Occupancy::Commercial,
    Occupancy::Public,
];

/// Asks on the terminal, question by question.
pub fn ask(answers: &mut Answers) -> Result<(), Error> {
    text(&mut answers.name, "Name of the job", |_| Ok(()))?;
    text(&mut answers.designer, "Designer", |_| Ok(()))?;
    text(&mut answers.country, "Country, like US", |text| country(text).map(drop))?;
    text(&mut answers.region, "State or province, like US-OR", |text| region(text).map(drop))?;
    text(&mut answers.authority, "Authority having jurisdiction", |_| Ok(()))?;
    choice(&mut answers.code, "Electrical code", &CODES)?;
    choice(&mut answers.occupancy, "Occupancy", &OCCUPANCIES)?;
    choice(&mut answers.grid, "Unit of the grid", &[Grid::Ft, Grid::M])?;
    choice(&mut answers.volts, "Volts of the lighting", &[12, 15, 24])?;
    choice(&mut answers.current, "Current of the lighting", &[OutputCurrent::Ac, OutputCurrent::Dc])?;
    if answers.schedules.is_empty() {
        let mut schedule = None;
        text(&mut schedule, "Shared schedule, as a path from the plan", |_| Ok(()))?;
        answers.schedules.extend(schedule);
    }
    Ok(())
}

/// Asks for a text; an empty one leaves it open.
fn text(answer: &mut Option<String>, prompt: &str, valid: impl Fn(&str) -> Result<(), String>) -> Result<(), Error> {
    if answer.is_some() {
        return Ok(());
    }
    let typed: String = Input::new()
        .with_prompt(format!("{prompt} (empty: later)"))
        .allow_empty(true)
        .validate_with(|text: &String| if text.trim().is_empty() { Ok(()) } else { valid(text.trim()) })
        .interact_text()?;
    *answer = Some(typed.trim().to_owned()).filter(|text| !text.is_empty());
    Ok(())
}

/// Offers a choice, and to leave it open.
fn choice<T: Display + Copy>(answer: &mut Option<T>, prompt: &str, all: &[T]) -> Result<(), Error> {
    if answer.is_some() {
        return Ok(());
    }
    let items = all.iter().map(T::to_string).chain(["later".to_owned()]);
    let chosen = Select::new().with_prompt(prompt).items(items.collect::<Vec<_>>()).default(all.len()).interact()?;
    *answer = all.get(chosen).copied();
    Ok(())
}
