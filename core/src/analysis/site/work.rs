//! The bound on the work and the memory of one plan, so that a hostile one is refused and not computed for ever.

use super::TooIntricate;

/// What is left of the bound.
pub(super) struct Work {
    looks: u64,
    words: u64,
}

impl Work {
    /// Boxes of the index that may be looked at: some thousand for each node and segment of the largest honest site.
    const LOOKS: u64 = 100_000_000;
    /// Words of 8 bytes that the facts may fill.
    const WORDS: u64 = 8_000_000;

    pub(super) fn new() -> Self {
        Self { looks: Self::LOOKS, words: Self::WORDS }
    }

    /// Counts boxes that were looked at.
    pub(super) fn look(&mut self, boxes: u64) -> Result<(), TooIntricate> {
        self.looks = self.looks.checked_sub(boxes).ok_or(TooIntricate)?;
        Ok(())
    }

    /// Counts words that are about to be kept.
    pub(super) fn keep(&mut self, words: usize) -> Result<(), TooIntricate> {
        self.words = self.words.checked_sub(words as u64).ok_or(TooIntricate)?;
        Ok(())
    }

    /// Gives back words that were kept for a while.
    pub(super) fn release(&mut self, words: usize) {
        self.words += words as u64;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_left_counts() {
        let mut work = Work { looks: 3, words: 3 };
        assert_eq!(
            [work.look(2), work.look(1), work.look(0), work.look(1)],
            [Ok(()), Ok(()), Ok(()), Err(TooIntricate)]
        );
        assert_eq!([work.keep(2), work.keep(2)], [Ok(()), Err(TooIntricate)]);
        work.release(1);
        assert_eq!([work.keep(2), work.keep(1)], [Ok(()), Err(TooIntricate)]);
    }
}
