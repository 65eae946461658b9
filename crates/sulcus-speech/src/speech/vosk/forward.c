/* The stand-in that the program links as "vosk": each function passes the call on to the real library, which
 * sulcus_vosk_open loads when the engine is chosen. So the program builds and starts where the library is absent.
 * The Rust side opens the library before it calls anything else; the values after FORWARD's arguments, which say
 * "failed", are what a call before that would get.
 *
 * Functions: those that the crate vosk calls, with the types of the library's header for version 0.3.45. */

#include <dlfcn.h>
#include <stddef.h>

#define FUNCTIONS(FORWARD, FORWARD_VOID)                                                                      \
    FORWARD(void *, vosk_model_new, (const char *path), (path), NULL)                                         \
    FORWARD_VOID(vosk_model_free, (void *model), (model))                                                     \
    FORWARD(int, vosk_model_find_word, (void *model, const char *word), (model, word), -1)                    \
    FORWARD(void *, vosk_spk_model_new, (const char *path), (path), NULL)                                     \
    FORWARD_VOID(vosk_spk_model_free, (void *model), (model))                                                 \
    FORWARD(void *, vosk_recognizer_new, (void *model, float rate), (model, rate), NULL)                      \
    FORWARD(void *, vosk_recognizer_new_spk, (void *model, float rate, void *spk), (model, rate, spk), NULL)  \
    FORWARD(void *, vosk_recognizer_new_grm, (void *model, float rate, const char *grammar),                  \
            (model, rate, grammar), NULL)                                                                     \
    FORWARD_VOID(vosk_recognizer_set_spk_model, (void *recognizer, void *spk), (recognizer, spk))             \
    FORWARD_VOID(vosk_recognizer_set_max_alternatives, (void *recognizer, int count), (recognizer, count))    \
    FORWARD_VOID(vosk_recognizer_set_words, (void *recognizer, int on), (recognizer, on))                     \
    FORWARD_VOID(vosk_recognizer_set_partial_words, (void *recognizer, int on), (recognizer, on))             \
    FORWARD_VOID(vosk_recognizer_set_nlsml, (void *recognizer, int on), (recognizer, on))                     \
    FORWARD(int, vosk_recognizer_accept_waveform_s, (void *recognizer, const short *data, int length),        \
            (recognizer, data, length), -1)                                                                   \
    FORWARD(const char *, vosk_recognizer_result, (void *recognizer), (recognizer), "{\"text\": \"\"}")       \
    FORWARD(const char *, vosk_recognizer_partial_result, (void *recognizer), (recognizer), "{}")             \
    FORWARD(const char *, vosk_recognizer_final_result, (void *recognizer), (recognizer), "{\"text\": \"\"}") \
    FORWARD_VOID(vosk_recognizer_reset, (void *recognizer), (recognizer))                                     \
    FORWARD_VOID(vosk_recognizer_free, (void *recognizer), (recognizer))                                      \
    FORWARD_VOID(vosk_set_log_level, (int level), (level))

#define DEFINE(type, name, parameters, arguments, otherwise)     \
    static type(*real_##name) parameters;                        \
    type name parameters;                                        \
    type name parameters { return real_##name ? real_##name arguments : otherwise; }

#define DEFINE_VOID(name, parameters, arguments)                 \
    static void(*real_##name) parameters;                        \
    void name parameters;                                        \
    void name parameters {                                       \
        if (real_##name) real_##name arguments;                  \
    }

FUNCTIONS(DEFINE, DEFINE_VOID)

/* POSIX lets a function's address come out of dlsym as a pointer to data; ISO C does not know the conversion, so the
 * address is copied through memory. */
#define FIND(type, name, parameters, arguments, otherwise) FIND_VOID(name, parameters, arguments)
#define FIND_VOID(name, parameters, arguments)                   \
    if (!(symbol = dlsym(library, #name))) goto incomplete;      \
    found.name = symbol;
#define KEEP(type, name, parameters, arguments, otherwise) KEEP_VOID(name, parameters, arguments)
#define KEEP_VOID(name, parameters, arguments) *(void **)&real_##name = found.name;
#define FIELD(type, name, parameters, arguments, otherwise) void *name;
#define FIELD_VOID(name, parameters, arguments) void *name;

/* Loads the library at path. Returns NULL, or why that failed, as text of the loader that is valid until its next
 * call on this thread. Not safe to call from two threads at once. All functions are set, or none. */
const char *sulcus_vosk_open(const char *path);
const char *sulcus_vosk_open(const char *path) {
    struct {
        FUNCTIONS(FIELD, FIELD_VOID)
    } found;
    void *symbol;
    void *library = dlopen(path, RTLD_NOW | RTLD_LOCAL);
    if (!library) return dlerror();
    FUNCTIONS(FIND, FIND_VOID)
    FUNCTIONS(KEEP, KEEP_VOID)
    return NULL;

incomplete:
    /* The library stays loaded: closing it could drop the loader's text. */
    return dlerror();
}
