/* What became of the file. */
#include "live/scene_told.h"

/* --- saved --- */

typedef struct saved {
    aw_scene_told told; /* first: what the file's shape is told of */
    const char *written;
} saved;

AW_GETTER(get_file)
{
    v->object = (aw_subject){aw_told_of(s)->session, s->with, 0, 0};
    return true;
}

AW_GETTER(get_unsaved)
{
    v->count = aw_session_unsaved(aw_told_of(s)->session);
    return true;
}

AW_GETTER(get_written)
{
    v->text = ((const saved *)s->of)->written;
    return v->text != NULL;
}

static const aw_member saved_members[] = {
    AW_OBJECT("file", get_file, &aw_live_file_shape, "the scenario's file"),
    AW_GOT("unsaved", COUNT, get_unsaved, "", "steps that are not in it"),
    AW_MAY("written", TEXT, get_written, 0, NULL, "the name of what was written beside it"),
};
static const aw_shape saved_shape = AW_SHAPE("live_saved", "What was saved", saved_members);

void aw_saved_json(const aw_session *session, const char *written, aw_text *out)
{
    const saved all = {.told = {.session = session}, .written = written};
    aw_document_json(&saved_shape, &(aw_subject){.of = &all, .with = &all}, out);
}

/* --- a conflict --- */

static const aw_member clash_members[] = {
    AW_TEXT("item", aw_clash, item, "its list and name"),
    AW_TEXT("mine", aw_clash, mine, "here; null: it is gone"),
    AW_TEXT("disk", aw_clash, disk, "on disk, likewise"),
};
static const aw_shape clash_shape =
    AW_SHAPE("live_clash", "What both changed, to different ends", clash_members);

AW_GETTER(get_clash)
{
    const aw_conflict *c = s->of;
    if (i >= c->n)
        return false;
    v->object.of = &c->list[i];
    return true;
}

static const aw_member conflict_members[] = {
    AW_LIST("items", get_clash, &clash_shape, "that both changed"),
    AW_TRUTH("clean", aw_conflict, clean, "none: steps can be put on top"),
    AW_TRUTH("gone", aw_conflict, gone, "there is no file on disk any more"),
};
static const aw_shape conflict_shape =
    AW_SHAPE("live_conflict", "A file that was changed by two", conflict_members);

AW_GETTER(get_conflict)
{
    v->object.of = s->of;
    return true;
}

/* --- on disk --- */

typedef struct on_disk {
    const aw_text *text;
    const aw_conflict *conflict; /* NULL: it was not changed */
    bool changed;
} on_disk;

AW_GETTER(get_checksum)
{
    char sum[AW_CHECKSUM_ROOM];
    const aw_text *text = ((const on_disk *)s->of)->text;
    aw_checksum(text->n > 0 ? text->at : "", text->n, sum);
    aw_text_add(&v->room, sum);
    v->text = v->room.at;
    return true;
}

AW_GETTER(get_disk_conflict)
{
    v->object.of = ((const on_disk *)s->of)->conflict;
    return v->object.of != NULL;
}

static const aw_member disk_members[] = {
    AW_GOT("checksum", TEXT, get_checksum, "", "of the file's bytes"),
    AW_TRUTH("changed", on_disk, changed, "since it was read or saved here"),
    AW_MAY("conflict", OBJECT, get_disk_conflict, 0, &conflict_shape, "what both changed"),
};
static const aw_shape disk_shape = AW_SHAPE("live_disk", "The file on disk", disk_members);

void aw_disk_json(const aw_text *disk, const aw_conflict *conflict, aw_text *out)
{
    const on_disk all = {disk, conflict, conflict != NULL};
    aw_document_json(&disk_shape, &(aw_subject){.of = &all}, out);
}

AW_GETTER(get_error)
{
    v->text = "the file was changed on disk";
    return true;
}

static const aw_member refusal_members[] = {
    AW_GOT("error", TEXT, get_error, "", "why it is not saved"),
    AW_OBJECT("conflict", get_conflict, &conflict_shape, "what both changed"),
};
static const aw_shape refusal_shape = AW_SHAPE("live_refusal", "Not saved", refusal_members);

void aw_conflict_json(const aw_conflict *conflict, aw_text *out)
{
    aw_document_json(&refusal_shape, &(aw_subject){.of = conflict}, out);
}

/* --- one text --- */

AW_GETTER(get_text)
{
    v->text = s->of;
    return true;
}

static const aw_member progress_members[] = {
    AW_GOT("progress", TEXT, get_text, "", "what is done now"),
};
static const aw_shape progress_shape = AW_SHAPE("live_progress", "What goes on", progress_members);

void aw_progress_json(const char *words, aw_text *out)
{
    aw_document_json(&progress_shape, &(aw_subject){.of = words}, out);
}

static const aw_member written_members[] = {
    AW_GOT("file", TEXT, get_text, "", "the name of what was written"),
};
static const aw_shape written_shape =
    AW_SHAPE("live_written", "What was handed out", written_members);

void aw_written_json(const char *name, aw_text *out)
{
    aw_document_json(&written_shape, &(aw_subject){.of = name}, out);
}
