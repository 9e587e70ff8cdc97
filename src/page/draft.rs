//! The file as it is being changed: every step can be taken back, and what changed is told in words and as lines.

use std::collections::{BTreeMap, BTreeSet};

use similar::{Change, ChangeTag, TextDiff};

use super::plan::key_of;
use super::words::label_in_file;
use crate::file::Edit;
use crate::plan::PlanFile;

/// Steps that can be taken back (own choice).
const STEPS_MAX: usize = 200;
/// Lines shown around a changed one (own choice).
const LINES_AROUND: usize = 1;

/// Everything that the person can change.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct State {
    /// Text of the project file.
    pub text: String,
    /// The agreed plan.
    pub plan: Option<PlanFile>,
    /// Plantings of it that are to stay, by [`super::plan::key`].
    pub locked: BTreeSet<String>,
}

impl State {
    /// The plantings that are to stay, as a plan of their own; none where nothing is locked.
    pub fn held(&self) -> Option<PlanFile> {
        let mut plan = self.plan.clone()?;
        plan.plantings
            .retain(|one| self.locked.contains(&key_of(one)));
        (!plan.plantings.is_empty()).then_some(plan)
    }
}

/// The state on disk, the state on the page, and the way between them.
#[derive(Clone, Debug, Default)]
pub struct Draft {
    /// As last read or saved.
    pub saved: State,
    /// As it now is.
    pub now: State,
    /// Grows with every change, so that work can tell whether it is still asked for.
    pub revision: u64,
    past: Vec<(String, State)>,
    future: Vec<(String, State)>,
}

/// A change of one key of the file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeyChange {
    pub path: String,
    pub what: String,
    /// As saved; none where the key is new.
    pub was: Option<String>,
    /// As it now is; none where the key is taken out.
    pub is: Option<String>,
}

/// A line of the difference between two texts: `-` taken out, `+` put in, a blank for what stays; and its text.
pub type Line = (char, String);

impl Draft {
    /// Begins with what is on disk.
    pub fn new(saved: State) -> Self {
        Self {
            now: saved.clone(),
            saved,
            revision: 1,
            ..Self::default()
        }
    }

    /// Takes one step; false, and nothing done, where nothing changes.
    pub fn step(&mut self, what: String, next: State) -> bool {
        if next == self.now {
            return false;
        }
        self.past
            .push((what, std::mem::replace(&mut self.now, next)));
        if self.past.len() > STEPS_MAX {
            self.past.remove(0);
        }
        self.future.clear();
        self.revision += 1;
        true
    }

    /// What a step back would take back, in words.
    pub fn can_undo(&self) -> Option<&str> {
        self.past.last().map(|(what, _)| what.as_str())
    }

    /// What a step forth would do again, in words.
    pub fn can_redo(&self) -> Option<&str> {
        self.future.last().map(|(what, _)| what.as_str())
    }

    /// Takes the last step back, or again the one that was taken back last; false where there is none.
    pub fn back_or_forth(&mut self, back: bool) -> bool {
        let (from, to) = match back {
            true => (&mut self.past, &mut self.future),
            false => (&mut self.future, &mut self.past),
        };
        let Some((what, other)) = from.pop() else {
            return false;
        };
        to.push((what, std::mem::replace(&mut self.now, other)));
        self.revision += 1;
        true
    }

    pub fn is_changed(&self) -> bool {
        self.now != self.saved
    }

    pub fn plan_is_changed(&self) -> bool {
        self.now.plan != self.saved.plan
    }

    /// Keys that differ from those of the saved file, in the file's order.
    pub fn changes(&self) -> Vec<KeyChange> {
        key_changes(&self.saved.text, &self.now.text)
    }
}

/// Keys in which two texts of a project file differ.
pub fn key_changes(from: &str, to: &str) -> Vec<KeyChange> {
    let keys = |text: &str| Edit::new(text).map_or_else(|_| Vec::new(), |edit| edit.keys());
    let (old, new) = (keys(from), keys(to));
    let map =
        |list: &[(String, String)]| -> BTreeMap<String, String> { list.iter().cloned().collect() };
    let (old_at, new_at) = (map(&old), map(&new));
    let gone = old.iter().filter(|(path, _)| !new_at.contains_key(path));
    new.iter()
        .map(|(path, is)| (path, old_at.get(path), Some(is)))
        .chain(gone.map(|(path, was)| (path, Some(was), None)))
        .filter(|(_, was, is)| was != is)
        .map(|(path, was, is)| KeyChange {
            path: path.clone(),
            what: label_in_file(path),
            was: was.cloned(),
            is: is.cloned(),
        })
        .collect()
}

/// Two texts line by line: what changed, with a line around it.
pub fn lines(from: &str, to: &str) -> Vec<Line> {
    let diff = TextDiff::from_lines(from, to);
    let line = |change: Change<&str>| {
        let sign = match change.tag() {
            ChangeTag::Delete => '-',
            ChangeTag::Insert => '+',
            ChangeTag::Equal => ' ',
        };
        let text = change.value().trim_end_matches(['\n', '\r']);
        (sign, text.to_owned())
    };
    let mut shown = Vec::new();
    for (number, group) in diff.grouped_ops(LINES_AROUND).iter().enumerate() {
        if number > 0 {
            shown.push((' ', "…".to_owned()));
        }
        shown.extend(group.iter().flat_map(|op| diff.iter_changes(op)).map(line));
    }
    shown
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "# ours\n[building]\nlength = \"8 m\" # inside\nglazing = \"double-film\"\n";

    fn state(text: &str) -> State {
        State {
            text: text.to_owned(),
            ..State::default()
        }
    }

    #[test]
    fn changes_are_told_in_words_and_as_lines() {
        let mut draft = Draft::new(state(TEXT));
        draft.step(
            "glazing".into(),
            state(&TEXT.replace("double-film", "triple-wall-16mm")),
        );
        let changes = draft.changes();
        assert_eq!(changes.len(), 1);
        assert_eq!(changes[0].what, "Glazing");
        assert_eq!(changes[0].was.as_deref(), Some("double-film"));
        assert_eq!(changes[0].is.as_deref(), Some("triple-wall-16mm"));
        let lines = lines(&draft.saved.text, &draft.now.text);
        let signs: String = lines.iter().map(|line| line.0).collect();
        assert_eq!(signs, " -+");
    }

    #[test]
    fn a_step_is_taken_back_and_taken_again() {
        let mut draft = Draft::new(state("a = 1\n"));
        draft.step("to 2".into(), state("a = 2\n"));
        assert!(!draft.step("to 2 again".into(), state("a = 2\n")));
        draft.step("to 3".into(), state("a = 3\n"));
        assert_eq!(draft.can_undo(), Some("to 3"));
        draft.back_or_forth(true);
        draft.back_or_forth(true);
        assert!(!draft.is_changed() && draft.can_undo().is_none());
        draft.back_or_forth(false);
        assert_eq!(draft.now.text, "a = 2\n");
        draft.step("to 4".into(), state("a = 4\n"));
        assert_eq!(draft.can_redo(), None);
        assert_eq!(draft.revision, 7);
    }
}
