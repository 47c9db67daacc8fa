-- Starts besom's language server for chore books, with the client that Neovim brings.
-- `vim.g.besom_command` is the command to start, a list of words, where it is not this one.

local usual_command = { 'besom', 'language-server' }

local function holds_books(folder)
  local entries = vim.loop.fs_scandir(folder)
  local name = entries and vim.loop.fs_scandir_next(entries)
  while name do
    if name:sub(-7) == '.chores' then
      return true
    end
    name = vim.loop.fs_scandir_next(entries)
  end
  return false
end

-- A household is one folder with all below it. Which one, no file says: it is taken for the
-- folder of the book, and for the one above as long as that holds books too. Any further up, a
-- stray book in a folder that many share would make one household of all in it.
local function household(path)
  local folder = vim.fn.fnamemodify(path, ':p:h')
  local above = vim.fn.fnamemodify(folder, ':h')
  while above ~= folder and above ~= vim.loop.os_homedir() and holds_books(above) do
    folder, above = above, vim.fn.fnamemodify(above, ':h')
  end
  return folder
end

local function complete_with_server(_, buffer)
  vim.api.nvim_buf_set_option(buffer, 'omnifunc', 'v:lua.vim.lsp.omnifunc')
end

local clients = {}

-- One client for each household, whatever the number of its books that are open.
local function start(config, buffer)
  if vim.lsp.start then
    vim.lsp.start(config, { bufnr = buffer })
    return
  end
  local client = clients[config.root_dir]
  if not client or vim.lsp.client_is_stopped(client) then
    client = vim.lsp.start_client(config)
    clients[config.root_dir] = client
  end
  if client then
    vim.lsp.buf_attach_client(buffer, client)
  end
end

local function open(buffer)
  local path = vim.api.nvim_buf_get_name(buffer)
  if path == '' or vim.bo[buffer].buftype ~= '' then
    return
  end
  local command = vim.g.besom_command or usual_command
  if vim.fn.executable(command[1]) == 0 then
    vim.notify_once(command[1] .. ' is not installed, so nothing checks this book', vim.log.levels.WARN)
    return
  end
  start({
    name = 'besom',
    cmd = command,
    root_dir = household(path),
    on_attach = complete_with_server,
  }, buffer)
end

vim.api.nvim_create_autocmd('FileType', {
  pattern = 'chores',
  group = vim.api.nvim_create_augroup('besom', {}),
  callback = function(event)
    open(event.buf)
  end,
})
