-- What somebody does in Neovim: opens a plan, breaks and mends it, asks, renames, and takes a cure.

local function wait(what, is_there)
  assert(vim.wait(60000, is_there, 20), what .. " does not come")
end

local function shown()
  return #vim.diagnostic.get(0)
end

-- The place of a text, and the cursor to it.
local function go(text, beyond)
  vim.fn.cursor(1, 1)
  assert(vim.fn.search("\\V" .. text, "cW") > 0, text .. " is not there")
  local at = vim.api.nvim_win_get_cursor(0)
  vim.api.nvim_win_set_cursor(0, { at[1], at[2] + beyond })
end

local function keys(text)
  vim.api.nvim_feedkeys(vim.api.nvim_replace_termcodes(text, true, false, true), "xt", false)
end

local function ask(method)
  local answers = vim.lsp.buf_request_sync(0, method, vim.lsp.util.make_position_params(), 60000)
  local _, answer = next(answers or {})
  assert(answer and answer.result, method .. " has no answer")
  return answer.result
end

vim.cmd("edit garden.yaml")
wait("the client", function() return #vim.lsp.get_active_clients() == 1 and vim.lsp.buf_get_clients(0)[1] ~= nil end)
vim.wait(1500)

go("cover: 8 in", 7)
keys("s3<Esc>")
wait("the finding", function() return shown() == 1 end)

go("id: L2", 4)
assert(vim.inspect(ask("textDocument/hover")):find("a luminaire"), "a hover")
go("method: direct-burial", 9)
assert(#ask("textDocument/completion").items > 2, "words")
go("L1, L2]", 4)
assert(ask("textDocument/definition").range, "a definition")

go("L1, L2]", 4)
vim.lsp.buf.rename("far")
wait("the new name", function() return vim.fn.search("id: far", "nw") > 0 end)
vim.wait(1500)

vim.ui.select = function(items, _, on_choice) on_choice(items[1], 1) end
go("cover: 3 in", 7)
vim.lsp.buf.code_action()
wait("the cure", function() return vim.fn.search("cover: 3 in", "nw") == 0 end)
wait("the end of the finding", function() return shown() == 0 end)
vim.wait(1500)
vim.cmd("qall!")
