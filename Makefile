# One Makefile for everything; all that is built goes under build/ (or build/MODE/).
#
#   make              the program, build/anchorwise, and the library, build/libanchorwise.a
#   make test         every test; its last line counts them
#   make bench        speed, as ratios against what a user would write instead
#   make demo         assesses the tram hall and says where the result lies
#   make plots        redraws the figures of README and docs
#   make lint         layers, headers, lengths, format
#   make deps         what program and demo need (Debian); deps-test adds what the tests need,
#                     deps-bench what the bench compares with
#   make MODE=sanitize … the same with address and undefined-behaviour checks, under build/sanitize/;
#                     likewise MODE=race, coverage, fuzz
#   make sanitize     every suite in the modes sanitize and race
#   make valgrind     the unit suites under valgrind
#   make coverage     lines of the library that the tests reach, and those they do not
#   make fuzz         hostile scenarios and command lines, FUZZ_SECONDS=60 of each
#   make compilers    gcc and clang, -O0 and -O3, without a warning, and a share of the tests
#   make arm64        the same bits from every level and compiler, and from an emulated 64-bit ARM;
#                     of links by radio the same nine digits
#   make long         the checks of `make test` that have a large size, in that size
#   make elsewhere    README's two commands on bare Debian 12 and 13, as root and as a user with sudo
#   make deps-more    what valgrind, fuzz, compilers and arm64 need; deps-lint what lint needs,
#                     deps-elsewhere what elsewhere needs (which runs as root)
#   make install      program, libraries, headers, manual page and completion, to $(PREFIX), default
#                     /usr/local, under $(DESTDIR) if that is given; LIBDIR, default $(PREFIX)/lib
#   make uninstall    takes away what install put there
#   make help

MAKEFLAGS += --no-builtin-rules
PREFIX ?= /usr/local
BINDIR = $(PREFIX)/bin
LIBDIR = $(PREFIX)/lib
INCLUDEDIR = $(PREFIX)/include
MANDIR = $(PREFIX)/share/man/man1
COMPLETIONDIR = $(PREFIX)/share/bash-completion/completions
CC := gcc
AR ?= ar
# The plain build and others beside it.
MODE :=
BUILD := build$(MODE:%=/%)
OPT := $(if $(MODE),-O1,-O3)
UNDEFINED := -fno-sanitize-recover=undefined -fno-omit-frame-pointer
MODE_FLAGS_sanitize := -fsanitize=address,undefined $(UNDEFINED)
MODE_FLAGS_race := -fsanitize=thread
MODE_FLAGS_coverage := --coverage -fprofile-update=atomic
MODE_FLAGS_fuzz := -fsanitize=fuzzer-no-link,address,undefined $(UNDEFINED)
MODE_FLAGS := $(MODE_FLAGS_$(MODE))
ifeq ($(MODE),fuzz)
CC := clang
endif

WARN := -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wdouble-promotion -Wstrict-prototypes \
        -Wmissing-prototypes -Wvla -Wcast-qual -Wno-psabi
ifneq ($(findstring clang,$(CC)),)
# To clang NAN and INFINITY are floats that grow; and what an initializer leaves out is zero on purpose.
WARN += -Wno-double-promotion -Wno-missing-field-initializers
endif
# The same bits everywhere: no contraction into fused operations, never fast-math.
EXACT := -ffp-contract=off -fno-math-errno -fno-trapping-math
# One object serves both libraries. What no public header declares is hidden in the shared one.
SHARED_CODE := -fPIC -fvisibility=hidden -fno-semantic-interposition
CFLAGS := -std=gnu11 -g $(OPT) $(WARN) $(EXACT) $(SHARED_CODE) $(MODE_FLAGS)
DRAWING := pangocairo cairo-pdf
DRAWING_LIBS := $(shell pkg-config --libs $(DRAWING) 2> /dev/null)
CPPFLAGS := -Iinclude -Isrc -D_GNU_SOURCE \
            $(patsubst -I%,-isystem %,$(shell pkg-config --cflags $(DRAWING) 2> /dev/null))
# What the library needs without its drawing, which no public header reaches; of these only libyaml
# and GSL have a pkg-config file.
PLAIN_LIBS := -lunistring -lglpk
ENGINE_LIBS := -lyaml $(PLAIN_LIBS) -lgsl -lgslcblas
THREAD_LIBS := -lpthread -lm
PLAN_LIBS := -ljansson -lgeos_c -lmicrohttpd
LDLIBS := $(ENGINE_LIBS) $(DRAWING_LIBS) $(PLAN_LIBS) $(THREAD_LIBS)
# These need no library; all else stops here and not at a hundred missing headers.
ifeq ($(DRAWING_LIBS)$(filter clean help lint uninstall deps deps-%,$(MAKECMDGOALS)),)
$(error pkg-config finds no Cairo and Pango; install what is missing by: sh .ci/deps program)
endif

ROOMS := base scenario plan radio position map assess place whatif report draw book live
LIB_SOURCES := $(wildcard $(foreach d,$(ROOMS),src/$(d)/*.c))
APP_SOURCES := $(wildcard src/app/cli/*.c)
# Compiled once for each processor level.
LEVELLED := bound_batch descents exchange kernel refine shares solve sums_batch
ARCH := $(shell uname -m)
LEVELS := base $(if $(filter x86_64,$(ARCH)),v3 v4)
MARCH_base :=
MARCH_v3 := -march=x86-64-v3
MARCH_v4 := -march=x86-64-v4 -mprefer-vector-width=512

object = $(patsubst src/%.c,$(BUILD)/obj/%.o,$(1))
LEVELLED_OBJECTS := $(foreach f,$(LEVELLED),$(foreach l,$(LEVELS),$(BUILD)/obj/position/$(f)_$(l).o))
PAGE_OBJECT := $(BUILD)/obj/live/page_files.o
LIB_OBJECTS := $(call object,$(filter-out $(LEVELLED:%=src/position/%.c),$(LIB_SOURCES))) \
               $(LEVELLED_OBJECTS) $(PAGE_OBJECT)
APP_OBJECTS := $(call object,$(APP_SOURCES))
LIBRARY := $(BUILD)/libanchorwise.a
PROGRAM := $(BUILD)/anchorwise
# Before version 1 a minor version may change what a host was compiled for, and so names the library.
VERSION := $(shell sed -n 's/^\#define AW_VERSION "\(.*\)"/\1/p' include/anchorwise.h)
SHARED_LINK := libanchorwise.so
SONAME := $(SHARED_LINK).$(basename $(VERSION))
SHARED := $(BUILD)/$(SHARED_LINK).$(VERSION)
# Of plans it has what results tell of them, which needs no other library.
PLAN_TOLD := arcs names rule_keys rules unit
SHARED_OBJECTS := $(filter-out $(addprefix $(BUILD)/obj/,book/% draw/% live/% plan/%),$(LIB_OBJECTS)) \
                  $(PLAN_TOLD:%=$(BUILD)/obj/plan/%.o)
PC_FILE := $(BUILD)/anchorwise.pc
MANUAL := $(BUILD)/anchorwise.1
COMPLETION := $(BUILD)/anchorwise.bash

UNIT_SOURCES := $(wildcard tests/test_*.c)
UNIT_PROGRAMS := $(patsubst tests/%.c,$(BUILD)/tests/%,$(UNIT_SOURCES))
PROBE_PROGRAMS := $(patsubst tests/outside/%.c,$(BUILD)/tests/%,$(wildcard tests/outside/*.c))
HELPER_PROGRAMS := $(addprefix $(BUILD)/tests/,fuzz_scenario fuzz_command mutate levels)
BENCH_PROGRAMS := $(patsubst tests/bench/%.c,$(BUILD)/tests/%,$(wildcard tests/bench/*.c))

.PHONY: all test bench demo plots lint deps deps-test deps-lint deps-bench deps-more deps-elsewhere install uninstall clean help force \
        sanitize valgrind coverage fuzz compilers arm64 elsewhere long
all: $(PROGRAM)

# Rebuild everything when the flags change.
FLAGS := $(CC) $(CFLAGS) $(CPPFLAGS) $(LDLIBS)
$(BUILD)/flags: force
	@mkdir -p $(BUILD)
	@echo '$(FLAGS)' | cmp -s - $@ || echo '$(FLAGS)' > $@

$(BUILD)/obj/%.o: src/%.c $(BUILD)/flags
	@mkdir -p $(@D)
	$(CC) $(CPPFLAGS) $(CFLAGS) -MMD -MP -c $< -o $@

define levelled
$(BUILD)/obj/position/$(1)_$(2).o: src/position/$(1).c $(BUILD)/flags
	@mkdir -p $$(@D)
	$(CC) $(CPPFLAGS) $(CFLAGS) $(MARCH_$(2)) -DAW_LEVEL=$(2) -MMD -MP -c $$< -o $$@
endef
$(foreach f,$(LEVELLED),$(foreach l,$(LEVELS),$(eval $(call levelled,$(f),$(l)))))

# The page's files, put into the program; made anew when one of them changes, comes or goes.
PAGE_FILES := $(wildcard src/live/page/*.html src/live/page/*.css src/live/page/*.js)
PAGE_SOURCE := $(BUILD)/obj/live/page_files.c
$(PAGE_SOURCE): force
	@mkdir -p $(@D)
	@sh src/live/embed > $@.new
	@cmp -s $@.new $@ && rm $@.new || mv $@.new $@

$(PAGE_OBJECT): $(PAGE_SOURCE) $(PAGE_FILES) $(BUILD)/flags
	$(CC) $(CPPFLAGS) $(CFLAGS) -MMD -MP -c $< -o $@

$(LIBRARY): $(LIB_OBJECTS)
	@rm -f $@
	$(AR) rcs $@ $^

$(PROGRAM): $(APP_OBJECTS) $(LIBRARY)
	$(CC) $(CFLAGS) $^ $(LDLIBS) -o $@

$(SHARED): $(SHARED_OBJECTS)
	$(CC) $(CFLAGS) -shared -Wl,-soname,$(SONAME),--no-undefined,-Bsymbolic-functions $^ \
	    $(ENGINE_LIBS) $(THREAD_LIBS) -o $@

$(MANUAL): $(PROGRAM)
	$(PROGRAM) help man > $@.new && mv $@.new $@

$(COMPLETION): $(PROGRAM)
	$(PROGRAM) help bash > $@.new && mv $@.new $@

# Written anew every time: where it is installed is no file's date.
$(PC_FILE): force
	@mkdir -p $(@D)
	@printf '%s\n' 'prefix=$(PREFIX)' 'libdir=$(LIBDIR)' 'includedir=$(INCLUDEDIR)' '' \
	    'Name: anchorwise' \
	    'Description: anchor geometry and position accuracy of ultra-wideband systems' \
	    'Version: $(VERSION)' 'Requires.private: yaml-0.1 gsl' 'Cflags: -I"$${includedir}"' \
	    'Libs: -L"$${libdir}" -lanchorwise' 'Libs.private: $(PLAIN_LIBS) $(THREAD_LIBS)' > $@

$(BUILD)/tests/test_lanes: WRAPPED := $(foreach f,aw_kernel_best aw_fix_find_all,-Wl,--wrap=$(f))
$(BUILD)/tests/test_documents: WRAPPED := -Wl,--wrap=aw_member_find -Wno-format-truncation -ljansson
$(BUILD)/tests/test_%: tests/test_%.c $(LIBRARY) $(BUILD)/flags
	@mkdir -p $(@D)
	$(CC) $(CPPFLAGS) -Itests $(CFLAGS) -Wno-pedantic -MMD -MP $< $(WRAPPED) $(LIBRARY) \
	    $$(pkg-config --cflags --libs check) $(LDLIBS) -o $@

# Fuzz targets: with libFuzzer in its mode, else with a driver that replays files.
FUZZ_DRIVER := $(if $(filter fuzz,$(MODE)),-fsanitize=fuzzer,tests/fuzz/replay.c)
FUZZ_WRAPPED := aw_file_read aw_text_write cli_watch aw_effort_glance aw_effort_measure aw_live_open
RENAMED_MAIN := $(BUILD)/obj/app/cli/main_renamed.o

$(RENAMED_MAIN): src/app/cli/main.c $(BUILD)/flags
	@mkdir -p $(@D)
	$(CC) $(CPPFLAGS) $(CFLAGS) -Dmain=cli_main -Wno-missing-prototypes -MMD -MP -c $< -o $@

$(BUILD)/tests/fuzz_scenario: tests/fuzz/target_scenario.c tests/fuzz/replay.c $(LIBRARY) $(BUILD)/flags
	@mkdir -p $(@D)
	$(CC) $(CPPFLAGS) -Itests $(CFLAGS) $< $(FUZZ_DRIVER) $(LIBRARY) $(LDLIBS) -o $@

$(BUILD)/tests/mutate: tests/fuzz/mutate.c tests/fuzz/target_scenario.c $(LIBRARY) $(BUILD)/flags
	@mkdir -p $(@D)
	$(CC) $(CPPFLAGS) -Itests $(CFLAGS) tests/fuzz/mutate.c tests/fuzz/target_scenario.c $(LIBRARY) \
	    $(LDLIBS) -o $@

$(BUILD)/tests/fuzz_command: tests/fuzz/target_command.c tests/fuzz/replay.c $(RENAMED_MAIN) \
    $(APP_OBJECTS) $(LIBRARY) $(BUILD)/flags
	@mkdir -p $(@D)
	$(CC) $(CPPFLAGS) -Itests $(CFLAGS) $< $(FUZZ_DRIVER) $(RENAMED_MAIN) \
	    $(filter-out %/main.o,$(APP_OBJECTS)) $(FUZZ_WRAPPED:%=-Wl,--wrap=%) $(LIBRARY) $(LDLIBS) -o $@

$(BUILD)/tests/levels: tests/levels.c $(RENAMED_MAIN) $(APP_OBJECTS) $(LIBRARY) $(BUILD)/flags
	@mkdir -p $(@D)
	$(CC) $(CPPFLAGS) $(CFLAGS) $< $(RENAMED_MAIN) $(filter-out %/main.o,$(APP_OBJECTS)) \
	    -Wl,--wrap=aw_kernel_best $(LIBRARY) $(LDLIBS) -o $@

$(BUILD)/tests/dump_draws: WRAPPED := -Wl,--wrap=aw_fix_find_all
$(BUILD)/tests/%: tests/outside/%.c $(LIBRARY) $(BUILD)/flags
	@mkdir -p $(@D)
	$(CC) $(CPPFLAGS) -Itests $(CFLAGS) -MMD -MP $< $(WRAPPED) $(LIBRARY) $(LDLIBS) -o $@

# The timed map runs at a level of choice, the limit at the highest.
$(BUILD)/tests/bench_limit: HIGHEST := $(MARCH_$(lastword $(LEVELS)))
$(BUILD)/tests/bench_ours: WRAPPED := -Wl,--wrap=aw_kernel_best
$(BUILD)/tests/%: tests/bench/%.c $(LIBRARY) $(BUILD)/flags
	@mkdir -p $(@D)
	$(CC) $(CPPFLAGS) -Itests $(CFLAGS) $(HIGHEST) -MMD -MP $< $(WRAPPED) $(LIBRARY) $(LDLIBS) -o $@

test: $(PROGRAM) $(UNIT_PROGRAMS) $(PROBE_PROGRAMS) $(HELPER_PROGRAMS) $(BENCH_PROGRAMS)
	@BUILD=$(BUILD) tests/run

sanitize:
	@tests/long/checked
valgrind:
	@tests/long/valgrind
coverage:
	@tests/long/coverage
fuzz:
	@tests/long/fuzz
compilers:
	@tests/long/compilers
arm64:
	@tests/long/bits
elsewhere:
	@tests/long/elsewhere
# What takes too long for `make test`.
LONG := outputs answers pages sheets edges ways words mutations memory remedies minima jitters few intervals setbacks one_figure edits locales chances verdicts places plans moves leeway sweeps seeds
long: $(PROGRAM)
	@failed=0; for check in $(LONG); do tests/long/$$check || failed=1; done; exit $$failed

bench: $(PROGRAM) $(BENCH_PROGRAMS)
	@BUILD=$(BUILD) tests/bench/run

demo: $(PROGRAM)
	@BUILD=$(BUILD) scenarios/demo

plots: $(PROGRAM)
	@BUILD=$(BUILD) plots/redraw

lint:
	@tests/lint/run

deps:
	@.ci/deps program
deps-test:
	@.ci/deps program tests
deps-bench:
	@.ci/deps program bench
deps-lint:
	@.ci/deps lint
deps-more:
	@.ci/deps program tests more
deps-elsewhere:
	@.ci/deps elsewhere

install: $(PROGRAM) $(LIBRARY) $(SHARED) $(PC_FILE) $(MANUAL) $(COMPLETION)
	install -d "$(DESTDIR)$(BINDIR)" "$(DESTDIR)$(LIBDIR)/pkgconfig" "$(DESTDIR)$(MANDIR)" \
	    "$(DESTDIR)$(COMPLETIONDIR)" "$(DESTDIR)$(INCLUDEDIR)/anchorwise"
	install -m 755 $(PROGRAM) "$(DESTDIR)$(BINDIR)/"
	install -m 644 $(LIBRARY) $(SHARED) "$(DESTDIR)$(LIBDIR)/"
	ln -sf $(notdir $(SHARED)) "$(DESTDIR)$(LIBDIR)/$(SONAME)"
	ln -sf $(SONAME) "$(DESTDIR)$(LIBDIR)/$(SHARED_LINK)"
	install -m 644 $(PC_FILE) "$(DESTDIR)$(LIBDIR)/pkgconfig/"
	install -m 644 include/anchorwise.h "$(DESTDIR)$(INCLUDEDIR)/"
	install -m 644 include/anchorwise/*.h "$(DESTDIR)$(INCLUDEDIR)/anchorwise/"
	install -m 644 $(MANUAL) "$(DESTDIR)$(MANDIR)/"
	install -m 644 $(COMPLETION) "$(DESTDIR)$(COMPLETIONDIR)/anchorwise"

# Folders that others use too stay.
uninstall:
	rm -f "$(DESTDIR)$(BINDIR)/anchorwise" "$(DESTDIR)$(LIBDIR)/libanchorwise.a" \
	    "$(DESTDIR)$(LIBDIR)/$(SHARED_LINK)" "$(DESTDIR)$(LIBDIR)/$(SONAME)" \
	    "$(DESTDIR)$(LIBDIR)/$(notdir $(SHARED))" "$(DESTDIR)$(LIBDIR)/pkgconfig/anchorwise.pc" \
	    "$(DESTDIR)$(INCLUDEDIR)/anchorwise.h" "$(DESTDIR)$(MANDIR)/anchorwise.1" \
	    "$(DESTDIR)$(COMPLETIONDIR)/anchorwise"
	rm -rf "$(DESTDIR)$(INCLUDEDIR)/anchorwise"

clean:
	rm -rf build

help:
	@sed -n '3,/^$$/s/^# \{0,1\}//p' Makefile

-include $(wildcard $(BUILD)/obj/*/*.d $(BUILD)/obj/*/*/*.d $(BUILD)/tests/*.d)
