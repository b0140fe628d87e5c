#include "tools/board/board.h"

#include <fcntl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <cstdlib>
#include <thread>

#include "tools/board/engines.h"
#include "tools/board/routes.h"
#include "tools/board/web_server.h"
#include "tools/questions.h"
#include "tools/terminal.h"

namespace sixfold::tools {
namespace {

/// More than pieces of work at once, so that what is answered at once need not wait for them.
constexpr std::size_t kEngines = 8;

bool has_display() {
  const auto is_set = [](const char* name) {
    const char* const value = std::getenv(name);
    return value != nullptr && *value != '\0';
  };
  return is_set("DISPLAY") || is_set("WAYLAND_DISPLAY");
}

/// By the desktop's own program, without a shell; nobody waits for it, and what it says is dropped.
void open_in_browser(const std::string& address) {
  const pid_t child = fork();
  if (child > 0) waitpid(child, nullptr, 0);
  if (child != 0) return;
  if (fork() != 0) _exit(0);  // So that its child is nobody's to wait for.
  setsid();
  const int nowhere = open("/dev/null", O_RDWR);
  for (const int stream : {STDIN_FILENO, STDOUT_FILENO, STDERR_FILENO}) dup2(nowhere, stream);
  execlp("xdg-open", "xdg-open", address.c_str(), static_cast<char*>(nullptr));
  _exit(1);
}

}  // namespace

int run_board(const BoardOptions& options) {
  Engines engines(engine_of(options.common, options.threads), kEngines);
  Routes routes(engines, options);
  WebServer server(options.port, [&](const WebRequest& request) { return routes.answer(request); });
  print(server.address() + "\n");
  std::thread serving([&] { server.run(); });
  if (!options.no_open && has_display()) open_in_browser(server.address_for_once());
  while (!interrupted()) std::this_thread::sleep_for(std::chrono::milliseconds(100));
  routes.close();
  server.stop();
  serving.join();
  return kDone;
}

}  // namespace sixfold::tools
