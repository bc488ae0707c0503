// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/serve_page.h"

#include "app/serve/day_routes.h"
#include "app/serve/gate.h"
#include "app/serve/guarded_server.h"
#include "app/serve/serve_context.h"
#include "app/serve/tls.h"

#include <arpa/inet.h>
#include <array>
#include <ifaddrs.h>
#include <memory>
#include <netinet/in.h>
#include <unistd.h>
#include <utility>
#include <vector>

namespace loftline {
namespace {

constexpr const char* kThisMachine = "127.0.0.1";
constexpr const char* kAllNetworks = "0.0.0.0";

// Addresses of this machine in its networks, without the loopback.
std::vector<std::string> NetworkAddresses() {
  std::vector<std::string> addresses;
  ifaddrs* all = nullptr;
  if (getifaddrs(&all) != 0) return addresses;
  const std::unique_ptr<ifaddrs, void (*)(ifaddrs*)> owner(all, freeifaddrs);
  for (const ifaddrs* one = all; one != nullptr; one = one->ifa_next) {
    if (one->ifa_addr == nullptr || one->ifa_addr->sa_family != AF_INET) continue;
    const auto* address = reinterpret_cast<const sockaddr_in*>(one->ifa_addr);
    std::array<char, INET_ADDRSTRLEN> text{};
    if (inet_ntop(AF_INET, &address->sin_addr, text.data(), text.size()) == nullptr) continue;
    if (std::string_view(text.data()) != kThisMachine) addresses.emplace_back(text.data());
  }
  return addresses;
}

// By what names a browser may ask for the page.
std::vector<std::string> OurHosts(bool lan) {
  std::vector<std::string> hosts = {kThisMachine, "localhost"};
  if (!lan) return hosts;
  for (std::string& address : NetworkAddresses()) hosts.push_back(std::move(address));
  std::array<char, 256> name{};
  if (gethostname(name.data(), name.size() - 1) == 0) {
    hosts.emplace_back(name.data());
    hosts.push_back(std::string(name.data()) + ".local");
  }
  return hosts;
}

Expected<std::optional<Tls>> TlsFor(const ServeOptions& options) {
  if (!options.lan) return std::optional<Tls>();
  if (!options.password) {
    return Error{ErrorKind::kInvalidInput,
                 "bad-value",
                 "--lan opens the page to everybody in the network and needs a password.",
                 "Write one into a file and give --password-file FILE."};
  }
  Expected<Tls> tls =
      options.certificate ? TlsFromFiles(*options.certificate, options.private_key.value_or("")) : SelfMadeTls();
  if (!tls) return tls.error();
  return std::optional<Tls>(std::move(*tls));
}

ServeAddress AddressOf(const Gate& gate, const std::optional<Tls>& tls, int port, const WorkFolder& folder) {
  ServeAddress address;
  address.address = gate.Address(kThisMachine);
  address.port = port;
  address.folder = folder.path();
  if (!tls) return address;
  const std::vector<std::string> networks = NetworkAddresses();
  address.lan_address = gate.Address(networks.empty() ? "localhost" : networks.front());
  address.fingerprint = tls->fingerprint;
  address.self_made_certificate = tls->self_made;
  return address;
}

}  // namespace

Status ServePage(const ServeOptions& options,
                 const std::function<void(const ServeAddress&)>& on_ready,
                 const std::stop_token& stop) {
  Expected<std::optional<Tls>> tls = TlsFor(options);
  if (!tls) return tls.error();
  Expected<std::unique_ptr<WorkFolder>> folder = WorkFolder::Open(options.folder);
  if (!folder) return folder.error();
  FrameStore frames(options.frame_memory_bytes);
  SheetStore sheets(**folder);
  JobBoard jobs;  // goes first, so that no job outlives what it works on
  const ServeContext context{**folder, frames, sheets, jobs, options.most_upload_bytes, options.lan};
  Router router;
  AddPageRoutes(&router, context);
  AddClipRoutes(&router, context);
  AddSheetRoutes(&router, context);
  AddDayRoutes(&router, **folder, jobs);

  GuardedServer server(router, options.connections);
  const Expected<int> port = server.Bind(options.lan ? kAllNetworks : kThisMachine, options.port);
  if (!port) return port.error();
  Gate gate({*port, tls->has_value(), OurHosts(options.lan), options.lan ? options.password : std::nullopt},
            RandomToken());
  router.Post("/enter", [&gate](const WebRequest& request) { return gate.Enter(request.body); });
  const std::stop_callback on_stop(stop, [&] {
    jobs.CancelAll();
    server.Stop();
  });
  on_ready(AddressOf(gate, *tls, *port, **folder));
  server.Serve(&gate, tls->has_value() ? &**tls : nullptr);
  return Done{};
}

}  // namespace loftline
