#include "tools/board/web_server.h"

#include <httplib.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <chrono>
#include <cstddef>
#include <thread>
#include <utility>

#include "base/format.h"
#include "base/input_error.h"
#include "report/json/json_report.h"
#include "tools/board/guard.h"

namespace sixfold::tools {
namespace {

using Clock = std::chrono::steady_clock;

constexpr std::size_t kMostBody = 1 << 20;
constexpr std::size_t kMostHead = 64 << 10;
/// Connections that are served at once; others wait until one of them ends.
constexpr std::size_t kThreads = 128;
constexpr int kBacklog = 256;
// On one machine a request arrives at once; whoever takes longer is not a page.
constexpr std::chrono::seconds kReadTime{3};
constexpr std::chrono::seconds kWriteTime{5};
/// What a refused request still sends is read for so long, so that the refusal is seen.
constexpr std::chrono::milliseconds kDrainTime{500};

constexpr const char* kPagePolicy =
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; "
    "connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";
constexpr const char* kSheetPolicy =
    "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; "
    "form-action 'none'; frame-ancestors 'none'";

/// A connection whose request has to arrive before a deadline, byte by byte or at once, and within
/// a size; writing has a deadline of its own for each piece.
class Connection final : public httplib::Stream {
 public:
  explicit Connection(socket_t socket) : socket_(socket) {}

  bool is_readable() const override { return wait(POLLIN, std::chrono::milliseconds(0)); }
  bool is_writable() const override { return wait(POLLOUT, kWriteTime) && !is_gone(); }

  ssize_t read(char* to, std::size_t size) override {
    const std::size_t room = kMostHead + kMostBody - std::min(read_, kMostHead + kMostBody);
    if (room == 0 || !wait(POLLIN, deadline_ - Clock::now())) return -1;
    const ssize_t count = ::recv(socket_, to, std::min(size, room), 0);
    if (count > 0) read_ += static_cast<std::size_t>(count);
    return count;
  }
  ssize_t write(const char* from, std::size_t size) override {
    if (!wait(POLLOUT, kWriteTime)) return -1;
    return ::send(socket_, from, size, MSG_NOSIGNAL | MSG_DONTWAIT);
  }
  void get_remote_ip_and_port(std::string&, int&) const override {}
  void get_local_ip_and_port(std::string&, int&) const override {}
  socket_t socket() const override { return socket_; }

  /// Ends it so that what has been written arrives, whatever the other side still sends.
  void close() {
    ::shutdown(socket_, SHUT_WR);
    std::array<char, 16384> ignored;
    const Clock::time_point end = Clock::now() + kDrainTime;
    while (wait(POLLIN, end - Clock::now()) &&
           ::recv(socket_, ignored.data(), ignored.size(), MSG_DONTWAIT) > 0) {
    }
    ::close(socket_);
  }

 private:
  /// Whether the other side has closed; what it sends beside its one request does not matter.
  [[nodiscard]] bool is_gone() const {
    char next = 0;
    return wait(POLLIN, std::chrono::milliseconds(0)) &&
           ::recv(socket_, &next, 1, MSG_PEEK | MSG_DONTWAIT) <= 0;
  }
  [[nodiscard]] bool wait(short event, Clock::duration time) const {
    const auto left = std::chrono::duration_cast<std::chrono::milliseconds>(time).count();
    pollfd watched{socket_, event, 0};
    return ::poll(&watched, 1, static_cast<int>(std::max<std::int64_t>(left, 0))) > 0;
  }

  socket_t socket_;
  std::size_t read_ = 0;
  Clock::time_point deadline_ = Clock::now() + kReadTime;
};

class HttpEvents final : public EventSink {
 public:
  explicit HttpEvents(httplib::DataSink& sink) : sink_(sink) {}
  bool send(std::string_view event, std::string_view data) override {
    return write(format("event: {}\ndata: {}\n\n", event, data));
  }
  bool beat() override { return write(":\n\n"); }

 private:
  bool write(const std::string& text) {
    is_open_ = is_open_ && sink_.is_writable() && sink_.write(text.data(), text.size());
    return is_open_;
  }
  httplib::DataSink& sink_;
  bool is_open_ = true;
};

WebAnswer refusal(int status, const std::string& message) {
  WebAnswer answer;
  answer.status = status;
  answer.body = error_json("null", message) + "\n";
  return answer;
}

void put(WebAnswer answer, httplib::Response& response) {
  response.status = answer.status;
  response.set_header("Content-Security-Policy", answer.is_sheet ? kSheetPolicy : kPagePolicy);
  if (!answer.file_name.empty()) {
    response.set_header("Content-Disposition",
                        format("attachment; filename=\"{}\"", answer.file_name));
  }
  if (!answer.events) {
    response.set_content(answer.body, answer.type);
    return;
  }
  response.set_chunked_content_provider(
      answer.type, [events = std::move(answer.events)](std::size_t, httplib::DataSink& sink) {
        HttpEvents to(sink);
        events(to);
        sink.done();
        return true;
      });
}

}  // namespace

class WebServer::Server final : public httplib::Server {
 public:
  Server(int port, Answerer answerer) : answerer_(std::move(answerer)) {
    new_task_queue = [] { return new httplib::ThreadPool(kThreads); };
    // Never two servers at one port.
    set_socket_options([](socket_t socket) {
      const int yes = 1;
      ::setsockopt(socket, SOL_SOCKET, SO_REUSEADDR, &yes, sizeof(yes));
    });
    set_default_headers({{"X-Content-Type-Options", "nosniff"},
                         {"Referrer-Policy", "no-referrer"},
                         {"Cache-Control", "no-store"},
                         {"Cross-Origin-Resource-Policy", "same-origin"},
                         {"Cross-Origin-Opener-Policy", "same-origin"}});
    set_pre_routing_handler([this](const auto& request, auto& response) {
      return is_refused(request, response) ? HandlerResponse::Handled : HandlerResponse::Unhandled;
    });
    Get("/.*", [this](const auto& request, auto& response) { answer(request, "", response); });
    Post("/.*", [this](const auto& request, auto& response, const auto& reader) {
      std::string body;
      const bool is_whole = reader([&](const char* part, std::size_t size) {
        if (body.size() + size > kMostBody) return false;
        body.append(part, size);
        return true;
      });
      if (is_whole) return answer(request, std::move(body), response);
      put(refusal(413,
                  format("a body of more than {} bytes, or less than was announced", kMostBody)),
          response);
    });
    listen_at(port);
  }

  [[nodiscard]] std::string address(const std::string& token) const {
    return format("http://127.0.0.1:{}/{}/", port_, token);
  }
  [[nodiscard]] const std::string& token() const noexcept { return token_; }
  [[nodiscard]] const std::string& token_for_once() const noexcept { return token_for_once_; }

 private:
  void listen_at(int port) {
    if (port == 0) {
      port_ = bind_to_any_port("127.0.0.1");
    } else if (bind_to_port("127.0.0.1", port)) {
      port_ = port;
    }
    if (port_ <= 0 || ::listen(svr_sock_, kBacklog) != 0) {
      throw InputError("can't be listened at", format("port {}", port),
                       "one that no other program has, or none to take any that is free");
    }
  }

  bool process_and_close_socket(socket_t socket) override {
    Connection connection(socket);
    bool is_closed = false;
    const bool is_done = process_request(connection, true, is_closed, [](auto& request) {
      // One whole, uncompressed answer: parts of it and compression cost more than they bring here.
      request.headers.erase("Accept-Encoding");
      request.ranges.clear();
    });
    connection.close();
    return is_done;
  }

  /// What is refused before any body is read.
  bool is_refused(const httplib::Request& request, httplib::Response& response) {
    const auto refuse = [&](int status, const std::string& message) {
      put(refusal(status, message), response);
      return true;
    };
    if (request.get_header_value_count("Host") != 1 ||
        !is_own_host(request.get_header_value("Host"), port_)) {
      return refuse(403, "this is not the host that was asked for");
    }
    const std::size_t origins = request.get_header_value_count("Origin");
    if (origins > 1 ||
        (origins == 1 && !is_own_origin(request.get_header_value("Origin"), port_))) {
      return refuse(403, "pages from elsewhere may ask nothing here");
    }
    if (is_below(token_for_once_, request.path) && !is_used_.exchange(true)) {
      response.set_redirect("/" + token_ + "/", 303);
      return true;
    }
    if (!is_below(token_, request.path)) return refuse(404, "there is nothing here");
    if (request.method != "GET" && request.method != "POST") {
      return refuse(405, "nothing but GET and POST is answered");
    }
    if (request.is_multipart_form_data()) return refuse(415, "a body of JSON is expected");
    return false;
  }

  /// Whether a path is "/TOKEN/" or goes on behind it.
  [[nodiscard]] static bool is_below(const std::string& token, std::string_view path) {
    constexpr std::size_t kLongest = 200;
    const std::size_t end = token.size() + 1;
    return path.size() <= kLongest && path.size() > end && path[end] == '/' &&
           are_equal_in_constant_time(path.substr(1, token.size()), token);
  }

  void answer(const httplib::Request& request, std::string body,
              httplib::Response& response) const {
    WebRequest asked{request.method == "POST", request.path.substr(token_.size() + 2),
                     std::move(body)};
    try {
      put(answerer_(asked), response);
    } catch (const InputError& error) {
      put(refusal(400, error.what()), response);
    } catch (const std::exception& error) {
      put(refusal(500, std::string("internal error: ") + error.what()), response);
    }
  }

  const std::string token_ = new_token();
  const std::string token_for_once_ = new_token();
  std::atomic<bool> is_used_{false};
  Answerer answerer_;
  int port_ = 0;
};

WebServer::WebServer(int port, Answerer answerer)
    : server_(std::make_unique<Server>(port, std::move(answerer))) {}
WebServer::~WebServer() = default;

std::string WebServer::address() const { return server_->address(server_->token()); }
std::string WebServer::address_for_once() const {
  return server_->address(server_->token_for_once());
}
void WebServer::run() { server_->listen_after_bind(); }
void WebServer::stop() {
  // What is stopped before it has begun would run for ever.
  for (int waited = 0; !server_->is_running() && waited < 1000; ++waited) {
    std::this_thread::sleep_for(std::chrono::milliseconds(1));
  }
  server_->stop();
}

}  // namespace sixfold::tools
