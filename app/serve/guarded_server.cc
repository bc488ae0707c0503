// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/guarded_server.h"

#include "app/serve/connection_stream.h"

#include <fcntl.h>
#include <fstream>
#include <httplib.h>
#include <netinet/in.h>
#include <netinet/tcp.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>
#include <utility>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr std::size_t kThreads = 96;         // each connection holds one
constexpr int kBacklog = 512;                // connections that wait to be accepted
constexpr std::size_t kLongestPath = 600;    // longer ones are none of ours, and httplib matches paths by recursion
constexpr std::size_t kRequestsEach = 1000;  // on one connection

// Set while a request is answered on this thread: the connection ends after it, because not all of the request was
// read.
thread_local bool end_connection = false;

const std::pair<const char*, const char*> kHeadersOfAll[] = {
    {"Content-Security-Policy",
     "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; connect-src 'self'; "
     "frame-src 'self'; font-src 'self'; frame-ancestors 'self'; base-uri 'none'; form-action 'self'"},
    {"X-Content-Type-Options", "nosniff"},
    {"Referrer-Policy", "no-referrer"},
    {"Cross-Origin-Opener-Policy", "same-origin"},
    {"Cross-Origin-Resource-Policy", "same-origin"}};

void SendFile(const std::filesystem::path& path, const std::string& type, httplib::Response& response) {
  auto file = std::make_shared<std::ifstream>(path, std::ios::binary);
  std::error_code problem;
  const std::uintmax_t size = std::filesystem::file_size(path, problem);
  if (problem || !*file) {
    response.status = 404;
    return;
  }
  if (size == 0) return response.set_content("", type);
  response.set_content_provider(
      static_cast<std::size_t>(size), type, [file](std::size_t at, std::size_t length, httplib::DataSink& sink) {
        std::array<char, 65536> piece{};
        file->clear();
        file->seekg(static_cast<std::streamoff>(at));
        file->read(piece.data(), static_cast<std::streamsize>(std::min(length, piece.size())));
        return file->gcount() > 0 && sink.write(piece.data(), static_cast<std::size_t>(file->gcount()));
      });
}

void Answer(const WebResponse& from, httplib::Response& to) {
  if (from.status != 200) to.status = from.status;  // httplib makes 206 of what nobody has set
  bool own_policy = false, own_caching = false;
  for (const auto& [name, value] : from.headers) {
    to.set_header(name, value);
    own_policy = own_policy || name == "Content-Security-Policy";
    own_caching = own_caching || name == "Cache-Control";
  }
  for (const auto& [name, value] : kHeadersOfAll) {
    if (own_policy && std::string_view(name) == "Content-Security-Policy") continue;
    to.set_header(name, value);
  }
  if (!own_caching) to.set_header("Cache-Control", "no-store");
  if (from.file) {
    SendFile(*from.file, from.content_type, to);
  } else if (from.shared_body) {
    to.set_content_provider(from.shared_body->size(),
                            from.content_type,
                            [body = from.shared_body](std::size_t at, std::size_t length, httplib::DataSink& sink) {
                              return sink.write(body->data() + at, length);
                            });
  } else if (from.status != 304) {
    to.set_content(from.body, from.content_type);
  }
}

WebResponse Refuse(int status, const std::string& code, const std::string& message, const std::string& advice) {
  return ErrorResponse({ErrorKind::kInvalidInput, code, message, advice}, status);
}

GateRequest ForGate(const httplib::Request& request) {
  GateRequest gate;
  gate.method = request.method;
  gate.path = request.path;
  gate.token = request.get_param_value("token");
  gate.host = request.get_header_value("Host");
  gate.origin = request.get_header_value("Origin");
  gate.cookie = request.get_header_value("Cookie");
  gate.fetch_site = request.get_header_value("Sec-Fetch-Site");
  // Two of one name: which one counts is anybody's guess, so neither does.
  if (request.get_header_value_count("Host") != 1) gate.host.clear();
  if (request.get_header_value_count("Origin") > 1) gate.origin.clear();
  return gate;
}

// Of the request line, still encoded and without the query.
std::string_view PathOf(const httplib::Request& request) {
  return std::string_view(request.target).substr(0, request.target.find_first_of("?#"));
}

std::optional<std::uint64_t> LengthOf(const httplib::Request& request) {
  const std::string text = request.get_header_value("Content-Length");
  if (text.empty() || text.size() > 18 || text.find_first_not_of("0123456789") != std::string::npos)
    return std::nullopt;
  return std::stoull(text);
}

// What is wrong with the body before a byte of it was read; nothing: it may come.
std::optional<WebResponse> CheckBody(const httplib::Request& request, const Router::Route& route) {
  const bool chunked = request.get_header_value("Transfer-Encoding") == "chunked";
  const bool odd = request.get_header_value_count("Content-Length") > 1 || request.has_header("Content-Encoding") ||
                   (request.has_header("Transfer-Encoding") && (!chunked || request.has_header("Content-Length"))) ||
                   request.is_multipart_form_data();
  if (odd) return Refuse(415, "bad-body", "The body comes in a form that is not taken here.", "Send it as it is.");
  const std::optional<std::uint64_t> length = LengthOf(request);
  if (!length && (!chunked || !route.streamed)) {
    return Refuse(411, "no-length", "The request does not say how long it is.", "Send a Content-Length.");
  }
  if (length.value_or(0) > route.most_body_bytes) {
    return Refuse(413,
                  "too-large",
                  fmt::format("That is larger than the {:.3g} MB that are taken here.",
                              static_cast<double>(route.most_body_bytes) / 1e6),
                  route.streamed ? "Copy the clip into the folder that 'loftline serve' was started in; it is then in "
                                   "the list."
                                 : "");
  }
  return std::nullopt;
}

WebRequest AsWebRequest(const httplib::Request& request, Router::Match& match) {
  WebRequest web;
  web.method = request.method;
  web.path = request.path;
  web.parameters = std::move(match.parameters);
  for (const auto& [name, value] : request.params) web.query.emplace(name, value);
  web.content_length = LengthOf(request);
  web.if_none_match = request.get_header_value("If-None-Match");
  return web;
}

WebResponse Handled(const Router::Route& route, const WebRequest& request) {
  try {
    return route.handler(request);
  } catch (const std::exception& mistake) {
    return ErrorResponse({ErrorKind::kInternal,
                          "internal",
                          std::string("This is a mistake in Loftline itself: ") + mistake.what() + ".",
                          "Please report it, with what you did before."});
  }
}

// Counts the connections that wait for a thread.
class CountingPool : public httplib::ThreadPool {
 public:
  explicit CountingPool(std::atomic<int>* waiting) : ThreadPool(kThreads), waiting_(waiting) {}
  void enqueue(std::function<void()> work) override {
    ++*waiting_;
    ThreadPool::enqueue([this, work = std::move(work)] {
      --*waiting_;
      work();
    });
  }

 private:
  std::atomic<int>* waiting_;
};

bool Handshake(SSL* tls, int socket, const ConnectionLimits& limits, const std::atomic<bool>& stopping) {
  const auto until =
      std::chrono::steady_clock::now() + std::chrono::duration_cast<std::chrono::steady_clock::duration>(limits.header);
  while (!stopping && std::chrono::steady_clock::now() < until) {
    const int result = SSL_accept(tls);
    if (result == 1) return true;
    const int why = SSL_get_error(tls, result);
    if (why != SSL_ERROR_WANT_READ && why != SSL_ERROR_WANT_WRITE) return false;
    pollfd wait{socket, static_cast<short>(why == SSL_ERROR_WANT_READ ? POLLIN : POLLOUT), 0};
    poll(&wait, 1, 100);
  }
  return false;
}

void TellTrouble(ConnectionStream& stream) {
  const auto raw = [](const char* status) {
    return fmt::format("HTTP/1.1 {}\r\nConnection: close\r\nContent-Length: 0\r\n\r\n", status);
  };
  if (stream.trouble() == ConnectionStream::Trouble::kHeaderTooLarge) {
    stream.WriteRaw(raw("431 Request Header Fields Too Large"));
  } else if (stream.trouble() == ConnectionStream::Trouble::kTooSlow) {
    stream.WriteRaw(raw("408 Request Timeout"));
  }
}

}  // namespace

class GuardedServer::Http : public httplib::Server {
 public:
  Http(const Router& router, const ConnectionLimits& limits);

  Expected<int> Bind(const std::string& address, int port);
  void Serve(Gate* gate, const Tls* tls);
  void Stop();

 private:
  bool process_and_close_socket(socket_t socket) override;
  enum class After { kAllRead, kUnread };  // whether the client may still be sending what nobody reads
  After AnswerRequests(ConnectionStream& stream);
  HandlerResponse BeforeRouting(const httplib::Request& request, httplib::Response& response);
  void AnswerStreamed(const httplib::Request& request,
                      httplib::Response& response,
                      const httplib::ContentReader& reader) const;

  const Router& router_;
  const ConnectionLimits limits_;
  Gate* gate_ = nullptr;
  const Tls* tls_ = nullptr;
  std::atomic<bool> stopping_ = false;
  std::atomic<int> waiting_ = 0;  // connections that no thread has taken yet
};

GuardedServer::Http::Http(const Router& router, const ConnectionLimits& limits) : router_(router), limits_(limits) {
  new_task_queue = [this] { return new CountingPool(&waiting_); };
  set_pre_routing_handler([this](const httplib::Request& request, httplib::Response& response) {
    return BeforeRouting(request, response);
  });
  const auto streamed = [this](const httplib::Request& request,
                               httplib::Response& response,
                               const httplib::ContentReader& reader) { AnswerStreamed(request, response, reader); };
  // Only what BeforeRouting lets through comes here.
  Post("/.*", streamed);
  Put("/.*", streamed);
  Delete("/.*", streamed);
  set_exception_handler([](const httplib::Request&, httplib::Response& response, const std::exception_ptr&) {
    Answer(Refuse(500, "internal", "The request could not be answered.", "Load the page anew."), response);
  });
}

Expected<int> GuardedServer::Http::Bind(const std::string& address, int port) {
  int listening = -1;
  set_socket_options([&listening](socket_t socket) {
    listening = socket;
    const int on = 1;  // a port of a run that just ended is free again; not SO_REUSEPORT, which would share one
    setsockopt(socket, SOL_SOCKET, SO_REUSEADDR, &on, sizeof(on));
  });
  const int taken = port == 0 ? bind_to_any_port(address) : (bind_to_port(address, port) ? port : -1);
  if (taken <= 0) {
    return Error{ErrorKind::kInvalidInput,
                 "port-taken",
                 fmt::format("Port {} of {} cannot be used.", port, address),
                 "Another program has it: give another --port, or leave it out to take any free one."};
  }
  ::listen(listening, kBacklog);  // httplib asks for 5, and a page asks for more frames than that at once
  set_socket_options([](socket_t) {});
  return taken;
}

void GuardedServer::Http::Serve(Gate* gate, const Tls* tls) {
  gate_ = gate;
  tls_ = tls;
  if (stopping_) return;
  listen_after_bind();
}

void GuardedServer::Http::Stop() {
  stopping_ = true;
  stop();
}

bool GuardedServer::Http::process_and_close_socket(socket_t socket) {
  const int on = 1;
  setsockopt(socket, IPPROTO_TCP, TCP_NODELAY, &on, sizeof(on));
  TlsConnection tls;
  bool ready = true;
  if (tls_ != nullptr) {
    fcntl(socket, F_SETFL, fcntl(socket, F_GETFL) | O_NONBLOCK);  // half a record must not hold us
    tls.reset(SSL_new(tls_->context.get()));
    ready = tls && SSL_set_fd(tls.get(), socket) == 1 && Handshake(tls.get(), socket, limits_, stopping_);
  }
  if (ready) {
    ConnectionStream stream(socket, tls.get(), limits_, stopping_, waiting_);
    if (AnswerRequests(stream) == After::kUnread) stream.Linger();
  }
  close(socket);
  return true;
}

GuardedServer::Http::After GuardedServer::Http::AnswerRequests(ConnectionStream& stream) {
  for (std::size_t count = 0; count < kRequestsEach && !stopping_; ++count) {
    if (!stream.WaitForRequest()) break;
    const bool last = waiting_ > 0 || stopping_;  // somebody waits for this thread
    bool closed = false;
    end_connection = false;
    const bool answered =
        process_request(stream, last, closed, [&stream](httplib::Request&) { stream.HeaderIsRead(); });
    if (stream.trouble() != ConnectionStream::Trouble::kNone) {
      TellTrouble(stream);
      return After::kUnread;
    }
    if (end_connection || !answered) return After::kUnread;
    if (last || closed) break;
  }
  return After::kAllRead;
}

httplib::Server::HandlerResponse GuardedServer::Http::BeforeRouting(const httplib::Request& request,
                                                                    httplib::Response& response) {
  const bool reads = request.method == "GET" || request.method == "HEAD";
  const auto answer = [&](const WebResponse& web) {
    // The rest of the request is not read: what follows on this connection would be taken for the next one.
    end_connection =
        end_connection || !reads || request.has_header("Content-Length") || request.has_header("Transfer-Encoding");
    if (end_connection) response.set_header("Connection", "close");
    Answer(web, response);
    return HandlerResponse::Handled;
  };
  const std::string_view path = PathOf(request);
  if (request.ranges.size() > 1) return answer(Refuse(416, "bad-range", "One range at a time.", ""));
  if (path.size() > kLongestPath) return answer(Refuse(414, "too-long", "That address is too long.", ""));
  if (!reads && request.method != "POST" && request.method != "PUT" && request.method != "DELETE") {
    return answer(Refuse(405, "bad-method", "That cannot be done here.", ""));
  }
  if (const std::optional<WebResponse> stopped = gate_->Check(ForGate(request))) return answer(*stopped);
  Router::Match match = router_.Find(request.method, path);
  if (match.route == nullptr) {
    return answer(match.path_known ? Refuse(405, "bad-method", "That cannot be done here.", "")
                                   : Refuse(404, "not-found", "There is nothing at this address.", ""));
  }
  if (reads) return answer(Handled(*match.route, AsWebRequest(request, match)));
  if (request.method == "DELETE" && !request.has_header("Content-Length") && !request.has_header("Transfer-Encoding")) {
    const WebResponse web = Handled(*match.route, AsWebRequest(request, match));
    return answer(web);
  }
  if (const std::optional<WebResponse> wrong = CheckBody(request, *match.route)) return answer(*wrong);
  return HandlerResponse::Unhandled;
}

void GuardedServer::Http::AnswerStreamed(const httplib::Request& request,
                                         httplib::Response& response,
                                         const httplib::ContentReader& reader) const {
  Router::Match match = router_.Find(request.method, PathOf(request));
  if (match.route == nullptr) {  // BeforeRouting has seen to it
    response.status = 404;
    return;
  }
  const Router::Route& route = *match.route;
  WebRequest web = AsWebRequest(request, match);
  std::uint64_t taken = 0;
  bool all_read = false;
  web.read_body = [&](const std::function<bool(std::string_view)>& take) {
    all_read = reader([&](const char* data, std::size_t size) {
      taken += size;
      return taken <= route.most_body_bytes && take({data, size});
    });
    return all_read && (!web.content_length || taken == *web.content_length);
  };
  if (!route.streamed && !web.read_body([&web](std::string_view piece) {
        web.body += piece;
        return true;
      })) {
    end_connection = true;
    response.set_header("Connection", "close");
    return Answer(Refuse(400, "cut-short", "The request ended early.", "Try again."), response);
  }
  const WebResponse answer = Handled(route, web);
  if (!all_read) {
    end_connection = true;
    response.set_header("Connection", "close");
  }
  Answer(answer, response);
}

GuardedServer::GuardedServer(const Router& router, const ConnectionLimits& limits)
    : http_(std::make_unique<Http>(router, limits)) {}

GuardedServer::~GuardedServer() = default;

Expected<int> GuardedServer::Bind(const std::string& address, int port) {
  return http_->Bind(address, port);
}

void GuardedServer::Serve(Gate* gate, const Tls* tls) {
  http_->Serve(gate, tls);
}

void GuardedServer::Stop() {
  http_->Stop();
}

}  // namespace loftline
