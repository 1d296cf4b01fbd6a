/* Between the library that speaks HTTP and the requests: the guard, bounds, the page's files, and
 * replies that go on. */
#include "live/server.h"

#include <arpa/inet.h>
#include <errno.h>
#include <microhttpd.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "live/guard.h"
#include "live/page_files.h"

#define LOOPBACK "127.0.0.1"
/* Connections at a time, and after how many seconds without a byte one is closed. */
#define MOST_CONNECTIONS 600u
#define PATIENCE         30u
/* Bytes of a connection's own memory: its headers have to fit. */
#define HEADERS ((size_t)16 << 10)
/* A reply is taken in pieces of so many bytes. */
#define PIECE ((size_t)64 << 10)

struct aw_server {
    aw_floor_plan *plan;
    struct MHD_Daemon *daemon;
    aw_guard guard;
    char address[160];
};

/* One request while it comes in. */
typedef struct coming {
    aw_text body;
    aw_waiter *waiter; /* of an answer that is not there yet */
} coming;

static const char *header(struct MHD_Connection *c, const char *name)
{
    return MHD_lookup_connection_value(c, MHD_HEADER_KIND, name);
}

/* --- sending --- */

static enum MHD_Result send_response(struct MHD_Connection *c, unsigned status,
                                     struct MHD_Response *response, const char *type)
{
    static const char *const fixed[][2] = {
        {"Content-Security-Policy",
         "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; "
         "connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'; "
         "require-trusted-types-for 'script'"},
        {"X-Content-Type-Options", "nosniff"},
        {"Referrer-Policy", "no-referrer"},
        {"Cross-Origin-Resource-Policy", "same-origin"},
        {"Cache-Control", "no-store"},
    };
    if (response == NULL)
        return MHD_NO;
    for (size_t i = 0; i < sizeof fixed / sizeof *fixed; i++)
        MHD_add_response_header(response, fixed[i][0], fixed[i][1]);
    MHD_add_response_header(response, "Content-Type", type);
    const enum MHD_Result sent = MHD_queue_response(c, status, response);
    MHD_destroy_response(response);
    return sent;
}

/* A line that is a constant. */
static enum MHD_Result send_line(struct MHD_Connection *c, unsigned status, char *line)
{
    return send_response(
        c, status, MHD_create_response_from_buffer(strlen(line), line, MHD_RESPMEM_PERSISTENT),
        "text/plain; charset=utf-8");
}

static enum MHD_Result refuse(struct MHD_Connection *c)
{
    static char line[] = "not allowed\n";
    return send_line(c, MHD_HTTP_FORBIDDEN, line);
}

static const char *type_of(const char *name)
{
    const char *dot = strrchr(name, '.');
    return dot != NULL && strcmp(dot, ".css") == 0  ? "text/css; charset=utf-8"
           : dot != NULL && strcmp(dot, ".js") == 0 ? "text/javascript; charset=utf-8"
                                                    : "text/html; charset=utf-8";
}

static enum MHD_Result send_file(struct MHD_Connection *c, const aw_page_file *file)
{
    return send_response(c, MHD_HTTP_OK,
                         MHD_create_response_from_buffer(file->n, file->at, MHD_RESPMEM_PERSISTENT),
                         type_of(file->name));
}

/* Takes the text over. */
static enum MHD_Result send_text(struct MHD_Connection *c, aw_told *told)
{
    char size[64];
    struct MHD_Response *response = MHD_create_response_from_buffer(
        told->text.n, told->text.at,
        told->text.n > 0 ? MHD_RESPMEM_MUST_FREE : MHD_RESPMEM_PERSISTENT);
    if (response == NULL)
        aw_text_free(&told->text);
    snprintf(size, sizeof size, "%.9g %.9g", told->width, told->height);
    if (response != NULL && told->is_picture)
        MHD_add_response_header(response, "Anchorwise-Size", size);
    return send_response(c, told->status, response,
                         told->is_picture ? "image/png" : "application/json");
}

/* --- replies that go on --- */

typedef struct sending {
    struct MHD_Connection *connection;
    aw_reply *reply;
} sending;

static void rest(void *connection)
{
    MHD_suspend_connection(connection);
}

static void resume(void *connection)
{
    MHD_resume_connection(connection);
}

static ssize_t take_piece(void *sending_of, uint64_t at, char *to, size_t most)
{
    const sending *s = sending_of;
    (void)at;
    const ssize_t n = aw_reply_take(s->reply, to, most, s->connection, rest);
    return n < 0 ? MHD_CONTENT_READER_END_OF_STREAM : n;
}

static void end_sending(void *sending_of)
{
    sending *s = sending_of;
    aw_reply_abandon(s->reply);
    aw_reply_let_go(s->reply);
    free(s);
}

static enum MHD_Result send_reply(struct MHD_Connection *c, aw_answering *out)
{
    sending *s = malloc(sizeof *s);
    struct MHD_Response *response = NULL;
    if (s != NULL) {
        *s = (sending){c, out->reply};
        response =
            MHD_create_response_from_callback(MHD_SIZE_UNKNOWN, PIECE, take_piece, s, end_sending);
    }
    if (response == NULL) {
        aw_reply_abandon(out->reply);
        aw_reply_let_go(out->reply);
        free(s);
    }
    return send_response(c, out->status, response, "application/octet-stream");
}

/* --- taking in --- */

/* Sends the answer of a waiter; where there is none yet the connection rests until there is. */
static enum MHD_Result send_later(struct MHD_Connection *c, const coming *in)
{
    aw_told told;
    if (!aw_waiter_take(in->waiter, &told, c, rest))
        return MHD_YES;
    return send_text(c, &told);
}

static enum MHD_Result answer(const aw_server *s, struct MHD_Connection *c, const char *url,
                              const char *method, coming *in)
{
    aw_answering out;
    const aw_request request = {method, url, in->body.at, in->body.n, resume};
    if (in->waiter != NULL)
        return send_later(c, in);
    aw_request_answer(s->plan, &request, &out);
    in->waiter = out.waiter;
    if (in->waiter != NULL)
        return send_later(c, in);
    if (out.reply != NULL)
        return send_reply(c, &out);
    return send_text(c, &(aw_told){.status = out.status, .text = out.text});
}

/* What needs no token: the page itself. */
static bool find_public(aw_page_file *file, const char *url)
{
    return url[0] == '/' && aw_page_file_find(file, url[1] == '\0' ? "index.html" : url + 1);
}

static bool is_allowed(const aw_server *s, struct MHD_Connection *c, bool public)
{
    return aw_guard_lets_in(&s->guard, header(c, "Host"), header(c, "Origin")) &&
           (public || aw_guard_knows(&s->guard, header(c, "Anchorwise-Token")));
}

static bool is_too_long(struct MHD_Connection *c, const char *url)
{
    const char *length = header(c, "Content-Length");
    return length != NULL && strtoull(length, NULL, 10) > aw_request_room(url);
}

/* Looks at the headers, before any body comes in. */
static enum MHD_Result begin(const aw_server *s, struct MHD_Connection *c, const char *url,
                             const char *method, void **request)
{
    static char too_long[] = "too long\n";
    aw_page_file file;
    const bool public = find_public(&file, url);
    if (!is_allowed(s, c, public))
        return refuse(c);
    if (public && (strcmp(method, "GET") == 0 || strcmp(method, "HEAD") == 0))
        return send_file(c, &file);
    if (is_too_long(c, url))
        return send_line(c, MHD_HTTP_CONTENT_TOO_LARGE, too_long);
    *request = calloc(1, sizeof(coming));
    return *request != NULL ? MHD_YES : MHD_NO;
}

static enum MHD_Result handle(void *server, struct MHD_Connection *c, const char *url,
                              const char *method, const char *version, const char *data, size_t *n,
                              void **request)
{
    coming *in = *request;
    (void)version;
    if (in == NULL)
        return begin(server, c, url, method, request);
    if (*n > 0) {
        if (*n > aw_request_room(url) - in->body.n)
            return MHD_NO;
        aw_text_add_bytes(&in->body, data, *n);
        *n = 0;
        return in->body.failed ? MHD_NO : MHD_YES;
    }
    return answer(server, c, url, method, in);
}

static void forget(void *server, struct MHD_Connection *c, void **request,
                   enum MHD_RequestTerminationCode how)
{
    coming *in = *request;
    (void)server, (void)c, (void)how;
    if (in == NULL)
        return;
    if (in->waiter != NULL)
        aw_waiter_abandon(in->waiter);
    aw_waiter_let_go(in->waiter);
    aw_text_free(&in->body);
    free(in);
    *request = NULL;
}

/* What the library has to say of broken requests is nobody's business. */
static void say_nothing(void *context, const char *format, va_list arguments)
{
    (void)context, (void)format, (void)arguments;
}

/* --- the address --- */

static int listen_at(uint16_t *port, aw_errors *errors)
{
    struct sockaddr_in at = {.sin_family = AF_INET, .sin_port = htons(*port)};
    socklen_t n = sizeof at;
    const int fd = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
    inet_pton(AF_INET, LOOPBACK, &at.sin_addr);
    if (fd >= 0)
        setsockopt(fd, SOL_SOCKET, SO_REUSEADDR, &(int){1}, sizeof(int));
    if (fd < 0 || bind(fd, (const struct sockaddr *)&at, sizeof at) != 0 || listen(fd, 256) != 0 ||
        getsockname(fd, (struct sockaddr *)&at, &n) != 0) {
        if (errno == EADDRINUSE)
            aw_errors_add(errors, AW_ERROR, 0, 0, "port %u is in use; give another with --port",
                          *port);
        else
            aw_errors_add(errors, AW_ERROR, 0, 0, "port %u of " LOOPBACK " cannot be served: %s",
                          *port, strerror(errno));
        if (fd >= 0)
            close(fd);
        return -1;
    }
    *port = ntohs(at.sin_port);
    return fd;
}

aw_server *aw_server_start(aw_floor_plan *plan, uint16_t port, aw_errors *errors)
{
    aw_server *s = calloc(1, sizeof *s);
    if (s == NULL || !aw_guard_make(&s->guard)) {
        aw_errors_add(errors, AW_ERROR, 0, 0, s == NULL ? "out of memory" : "no random numbers");
        free(s);
        return NULL;
    }
    const int fd = listen_at(&port, errors);
    s->plan = plan;
    aw_guard_set_address(&s->guard, LOOPBACK, port);
    snprintf(s->address, sizeof s->address, "%s/#%s", s->guard.origin, s->guard.token);
    if (fd >= 0)
        s->daemon = MHD_start_daemon(
            MHD_USE_POLL_INTERNAL_THREAD | MHD_ALLOW_SUSPEND_RESUME | MHD_USE_ERROR_LOG, 0, NULL,
            NULL, handle, s, MHD_OPTION_EXTERNAL_LOGGER, say_nothing, NULL,
            MHD_OPTION_LISTEN_SOCKET, fd, MHD_OPTION_CONNECTION_LIMIT, MOST_CONNECTIONS,
            MHD_OPTION_CONNECTION_TIMEOUT, PATIENCE, MHD_OPTION_CONNECTION_MEMORY_LIMIT, HEADERS,
            MHD_OPTION_NOTIFY_COMPLETED, forget, NULL, MHD_OPTION_END);
    if (s->daemon != NULL)
        return s;
    if (fd >= 0) {
        aw_errors_add(errors, AW_ERROR, 0, 0, "the page cannot be served");
        close(fd);
    }
    free(s);
    return NULL;
}

void aw_server_stop(aw_server *s)
{
    if (s == NULL)
        return;
    MHD_stop_daemon(s->daemon);
    free(s);
}

const char *aw_server_address(const aw_server *s)
{
    return s->address;
}
