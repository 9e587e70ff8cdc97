//! Words that have a meaning each: an enum of a stage whose variants stand beside the words people write or read.

/// A meaning that has its words, in the order in which people read them.
pub trait Word: Copy + 'static {
    /// Each word and what it means.
    const WORDS: &'static [(&'static str, Self)];
    /// The words alone.
    const NAMES: &'static [&'static str];

    /// Its word.
    fn word(self) -> &'static str
    where
        Self: PartialEq,
    {
        let is_own = |(_, meaning): &&(&str, Self)| *meaning == self;
        Self::WORDS.iter().find(is_own).map_or("", |(word, _)| word)
    }

    /// What a word means; nothing where it is none of them.
    fn meaning(word: &str) -> Option<Self> {
        meaning(word, Self::WORDS)
    }
}

/// What a word means by a list.
pub fn meaning<T: Copy>(word: &str, words: &[(&str, T)]) -> Option<T> {
    let found = words.iter().find(|(known, _)| *known == word)?;
    Some(found.1)
}

/// Declares an enum with the word of each variant before it: `"swept" => Swept`.
macro_rules! worded {
    (
        $(#[$meta:meta])*
        pub enum $name:ident { $( $(#[$on:meta])* $word:literal => $variant:ident, )+ }
    ) => {
        $(#[$meta])*
        pub enum $name { $( $(#[$on])* $variant, )+ }

        impl $crate::words::Word for $name {
            const WORDS: &'static [(&'static str, Self)] = &[$( ($word, Self::$variant) ),+];
            const NAMES: &'static [&'static str] = &[$( $word ),+];
        }
    };
}
pub(crate) use worded;
