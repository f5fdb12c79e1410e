//! Tokens to the tree.

use super::lexer::{Token, TokenKind, tokens};
use super::{Ast, AstKind, DEEPEST, LONGEST, Mistake, Operator, Span};

/// Words that the language keeps.
const RESERVED: [&str; 19] = [
    "as",
    "break",
    "const",
    "continue",
    "else",
    "false",
    "for",
    "function",
    "if",
    "import",
    "in",
    "let",
    "loop",
    "null",
    "package",
    "namespace",
    "return",
    "var",
    "void",
];

/// Reads an expression.
pub fn parse(text: &str) -> Result<Ast, Mistake> {
    if text.len() > LONGEST {
        return Err(Mistake::new(
            Span::new(0, 0),
            format!("this expression has {} bytes, and at most {LONGEST} are read", text.len()),
        )
        .help("split the rule, or write a module"));
    }
    let tokens = tokens(text)?;
    let mut parser = Parser { tokens, next: 0, open: 0 };
    if parser.peek().kind == TokenKind::End {
        return Err(Mistake::new(Span::new(0, text.len()), "there is no expression here"));
    }
    let tree = parser.expression()?;
    match parser.peek().kind {
        TokenKind::End => Ok(tree),
        _ => Err(parser.unexpected("an operator or the end")),
    }
}

struct Parser {
    tokens: Vec<Token>,
    next: usize,
    /// Brackets and the like that are open.
    open: u32,
}

fn deep(span: Span) -> Mistake {
    Mistake::new(span, format!("this expression is nested more than {DEEPEST} levels deep"))
        .help("split the rule, or write a module")
}

fn node(span: Span, kind: AstKind) -> Result<Ast, Mistake> {
    let most = |list: &[Ast]| list.iter().map(|item| item.depth).max().unwrap_or(0);
    let inside = match &kind {
        AstKind::Number(_) | AstKind::Text(_) | AstKind::Flag(_) | AstKind::Name(_) => 0,
        AstKind::Select { of, .. } => of.depth,
        AstKind::Not(of) | AstKind::Negate(of) => of.depth,
        AstKind::Index { of, at } => of.depth.max(at.depth),
        AstKind::Call { of, arguments, .. } => most(arguments).max(of.as_ref().map_or(0, |of| of.depth)),
        AstKind::Binary { left, right, .. } => left.depth.max(right.depth),
        AstKind::And(list) | AstKind::Or(list) | AstKind::List(list) => most(list),
        AstKind::Choice { condition, yes, no } => condition.depth.max(yes.depth).max(no.depth),
    };
    if inside >= DEEPEST {
        return Err(deep(span));
    }
    Ok(Ast { span, depth: inside + 1, kind })
}

impl Parser {
    fn peek(&self) -> &Token {
        // The last token is the end, which is never passed.
        &self.tokens[self.next.min(self.tokens.len() - 1)]
    }

    fn take(&mut self) -> Token {
        let token = self.peek().clone();
        self.next += 1;
        token
    }

    fn is(&self, sign: &str) -> bool {
        matches!(self.peek().kind, TokenKind::Sign(found) if found == sign)
    }

    fn accept(&mut self, sign: &str) -> bool {
        let found = self.is(sign);
        self.next += usize::from(found);
        found
    }

    fn expect(&mut self, sign: &str) -> Result<Span, Mistake> {
        if self.is(sign) { Ok(self.take().span) } else { Err(self.unexpected(&format!("`{sign}`"))) }
    }

    fn unexpected(&self, expected: &str) -> Mistake {
        let token = self.peek();
        let found = match &token.kind {
            TokenKind::End => "the end".to_owned(),
            TokenKind::Number(number) => format!("the number {number}"),
            TokenKind::Text(_) => "a text".to_owned(),
            TokenKind::Word(word) => format!("`{word}`"),
            TokenKind::Sign(sign) => format!("`{sign}`"),
        };
        let mistake = Mistake::new(token.span, format!("expected {expected}, found {found}"));
        match &token.kind {
            TokenKind::Word(word) => match word.as_str() {
                "and" => mistake.help("write `&&`"),
                "or" => mistake.help("write `||`"),
                "not" => mistake.help("write `!`"),
                _ => mistake,
            },
            _ => mistake,
        }
    }

    /// Counts what is open, so that a text of brackets does not run over the stack.
    fn inside<T>(&mut self, read: impl FnOnce(&mut Self) -> Result<T, Mistake>) -> Result<T, Mistake> {
        if self.open >= DEEPEST {
            return Err(deep(self.peek().span));
        }
        self.open += 1;
        let read = read(self);
        self.open -= 1;
        read
    }

    /// `condition ? yes : no`, which binds least.
    fn expression(&mut self) -> Result<Ast, Mistake> {
        self.inside(|parser| {
            let condition = parser.either()?;
            if !parser.accept("?") {
                return Ok(condition);
            }
            let yes = parser.either()?;
            parser.expect(":")?;
            let no = parser.expression()?;
            let span = condition.span.with(no.span);
            node(span, AstKind::Choice { condition: condition.into(), yes: yes.into(), no: no.into() })
        })
    }

    fn either(&mut self) -> Result<Ast, Mistake> {
        self.chain("||", AstKind::Or, |parser| parser.chain("&&", AstKind::And, |parser| parser.binary(0)))
    }

    fn chain(
        &mut self,
        sign: &str,
        kind: fn(Vec<Ast>) -> AstKind,
        term: fn(&mut Self) -> Result<Ast, Mistake>,
    ) -> Result<Ast, Mistake> {
        let first = term(self)?;
        if !self.is(sign) {
            return Ok(first);
        }
        let mut terms = vec![first];
        while self.accept(sign) {
            terms.push(term(self)?);
        }
        let span = terms.iter().fold(terms[0].span, |span, term| span.with(term.span));
        node(span, kind(terms))
    }

    /// Operators with two operands, by how they bind: comparisons least, then sums, then products.
    fn binary(&mut self, least: u8) -> Result<Ast, Mistake> {
        let mut left = self.unary()?;
        while let Some((operator, binding)) = self.operator().filter(|(_, binding)| *binding >= least) {
            self.next += 1;
            let right = self.binary(binding + 1)?;
            let span = left.span.with(right.span);
            left = node(span, AstKind::Binary { operator, left: left.into(), right: right.into() })?;
        }
        Ok(left)
    }

    fn operator(&self) -> Option<(Operator, u8)> {
        Some(match &self.peek().kind {
            TokenKind::Word(word) if word == "in" => (Operator::In, 0),
            TokenKind::Sign(sign) => match *sign {
                "==" => (Operator::Equal, 0),
                "!=" => (Operator::Unequal, 0),
                "<" => (Operator::Less, 0),
                "<=" => (Operator::LessEqual, 0),
                ">" => (Operator::Greater, 0),
                ">=" => (Operator::GreaterEqual, 0),
                "+" => (Operator::Add, 1),
                "-" => (Operator::Subtract, 1),
                "*" => (Operator::Multiply, 2),
                "/" => (Operator::Divide, 2),
                "%" => (Operator::Remainder, 2),
                _ => return None,
            },
            _ => return None,
        })
    }

    /// `!` and `-`, as many as there are; two of one kind cancel out.
    fn unary(&mut self) -> Result<Ast, Mistake> {
        let from = self.peek().span;
        for sign in ["!", "-"] {
            if self.is(sign) {
                let mut count = 0_u32;
                while self.accept(sign) {
                    count += 1;
                }
                let of = Box::new(self.member()?);
                let span = from.with(of.span);
                let wrap = |of: Box<Ast>| if sign == "!" { AstKind::Not(of) } else { AstKind::Negate(of) };
                let once = node(span, wrap(of))?;
                // Kept as two where they cancel out, so that what they stand before is still checked.
                return if count.is_multiple_of(2) { node(span, wrap(once.into())) } else { Ok(once) };
            }
        }
        self.member()
    }

    fn member(&mut self) -> Result<Ast, Mistake> {
        let mut of = self.primary()?;
        loop {
            if self.accept(".") {
                let token = self.take();
                let TokenKind::Word(name) = token.kind else {
                    self.next -= 1;
                    return Err(self.unexpected("the name of a field"));
                };
                if self.is("(") {
                    let (arguments, end) = self.arguments()?;
                    let span = of.span.with(end);
                    of = node(span, AstKind::Call { of: Some(of.into()), name, name_span: token.span, arguments })?;
                } else {
                    let span = of.span.with(token.span);
                    of = node(span, AstKind::Select { of: of.into(), field: name, field_span: token.span })?;
                }
            } else if self.accept("[") {
                let at = self.expression()?;
                let end = self.expect("]")?;
                of = node(of.span.with(end), AstKind::Index { of: of.into(), at: at.into() })?;
            } else {
                return Ok(of);
            }
        }
    }

    fn arguments(&mut self) -> Result<(Vec<Ast>, Span), Mistake> {
        self.expect("(")?;
        self.list(")")
    }

    /// Expressions with commas between them, up to the closing sign.
    fn list(&mut self, close: &str) -> Result<(Vec<Ast>, Span), Mistake> {
        let mut list = Vec::new();
        while !self.is(close) {
            list.push(self.expression()?);
            if !self.accept(",") {
                break;
            }
            // The grammar lets a list end with a comma, a call not.
            if close == ")" && self.is(close) {
                return Err(self.unexpected("a value"));
            }
        }
        Ok((list, self.expect(close)?))
    }

    fn primary(&mut self) -> Result<Ast, Mistake> {
        let Token { kind, span } = self.peek().clone();
        match kind {
            TokenKind::Number(number) => {
                self.next += 1;
                node(span, AstKind::Number(number))
            }
            TokenKind::Text(text) => {
                self.next += 1;
                node(span, AstKind::Text(text))
            }
            TokenKind::Word(word) => self.word(word, span),
            TokenKind::Sign("(") => {
                self.next += 1;
                let inner = self.expression()?;
                let end = self.expect(")")?;
                Ok(Ast { span: span.with(end), ..inner })
            }
            TokenKind::Sign("[") => {
                self.next += 1;
                let (items, end) = self.list("]")?;
                node(span.with(end), AstKind::List(items))
            }
            TokenKind::Sign("{") => Err(Mistake::new(span, "there are no maps here").help("use a list: `[…]`")),
            _ => Err(self.unexpected("a value")),
        }
    }

    fn word(&mut self, word: String, span: Span) -> Result<Ast, Mistake> {
        match word.as_str() {
            "true" | "false" => {
                self.next += 1;
                return node(span, AstKind::Flag(word == "true"));
            }
            "null" => {
                return Err(Mistake::new(span, "there is no `null` here")
                    .help("`has(run.cover_m)` asks whether the plan states something"));
            }
            "in" => return Err(self.unexpected("a value")),
            _ => {}
        }
        if RESERVED.contains(&word.as_str()) {
            return Err(Mistake::new(span, format!("the language keeps the word `{word}` for itself"))
                .help(if word == "if" { "write `condition ? yes : no`" } else { "use another name" }));
        }
        if matches!(word.as_str(), "not") {
            return Err(self.unexpected("a value"));
        }
        self.next += 1;
        if self.is("(") {
            let (arguments, end) = self.arguments()?;
            return node(span.with(end), AstKind::Call { of: None, name: word, name_span: span, arguments });
        }
        if self.is("{") {
            return Err(Mistake::new(span.with(self.peek().span), "there are no messages here"));
        }
        node(span, AstKind::Name(word))
    }
}
